package stock

import "slices"

// The reasons for a hold; the list is closed.
const (
	CertificateMissing = "Certificate missing"
	ShortDated         = "Short-dated"
	LowOnArrival       = "Low on arrival"
	Damaged            = "Damaged/doubtful"
	LeakSuspected      = "Leak suspected"
	Undated            = "Undated"
	Recalled           = "Recall"
	DoubtfulGas        = "Doubtful gas"
	CountDispute       = "Count dispute"
	Management         = "Management"
)

var holdReasons = []string{CertificateMissing, ShortDated, LowOnArrival, Damaged, LeakSuspected, Undated, Recalled, DoubtfulGas, CountDispute, Management}

// HoldReasons lists the reasons in the order in which a form offers them.
func HoldReasons() []string { return slices.Clone(holdReasons) }

// forbids tells whether a hold of this reason keeps the cylinder from a purpose. A missing certificate leaves bump tests on label values.
func forbids(reason string, p Purpose) bool {
	return reason != CertificateMissing || p.exact()
}
