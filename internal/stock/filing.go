package stock

import (
	"context"
	"fmt"
	"strings"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/shelf"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// FilingOrder is a certificate that comes after its lot, a date that was missed on the label, or the file of a certificate that
// was typed in before. What the certificate says is as in a delivery.
type FilingOrder struct {
	ID int64 `json:"-"` // of the lot
	CertificateOrder
	Lot            string            `json:"lot,omitempty"` // as the document names it
	FilledOn       unit.Date         `json:"filled_on,omitempty"`
	AssayedOn      unit.Date         `json:"assayed_on,omitempty"`
	LabelExpiresOn unit.Date         `json:"label_expires_on,omitempty"`
	Release        bool              `json:"release,omitempty"` // the holds that it settles
	Version        *int64            `json:"version,omitempty"` // of the lot
	Reasons        map[string]string `json:"reasons,omitempty"`
	File           *FileOrder        `json:"-"`
}

// FiledAnswer is a lot after a certificate was filed: what it settled, and what the rules say of it.
type FiledAnswer struct {
	LotAnswer
	Released []HoldAnswer      `json:"released"`
	Findings []problem.Finding `json:"findings"`
}

// FileCertificate enters a certificate for a lot that is here already, by the checks of goods in. Earlier ones stay readable; the
// newest holds for the lot (R5c, R7).
func (r Room) FileCertificate(ctx context.Context, act auth.Act, o FilingOrder) (FiledAnswer, error) {
	return store.Once(ctx, r.Store, act.Once(), func(tx *store.Store) (FiledAnswer, error) {
		m, err := r.moment(ctx, tx)
		if err != nil {
			return FiledAnswer{}, err
		}
		l, err := loadLot(ctx, tx, m, o.ID)
		if err != nil {
			return FiledAnswer{}, err
		}
		if o.Version != nil && *o.Version != l.row.Version {
			return FiledAnswer{}, problem.Stale("lot", l.row.Lot, l.row.Version, *o.Version)
		}
		f, err := readFiling(ctx, tx, l, o)
		if err != nil {
			return FiledAnswer{}, err
		}
		if f.standing, err = tx.HoldsOfLot(ctx, o.ID); err != nil {
			return FiledAnswer{}, err
		}
		f.decide()
		if err := f.allowed(act.By, o); err != nil {
			return FiledAnswer{}, err
		}
		return f.write(ctx, tx, act)
	})
}

// filing is an order that has been read, and what the rules make of it.
type filing struct {
	wholeLot
	names    receivedNames
	delivery delivery // the dates, and the document
	named    string   // the lot as the document has it
	file     *models.File
	release  bool
	standing []models.Hold

	after    models.Lot // with what is filed
	doubts   []plannedHold
	settled  []models.Hold
	findings []problem.Finding
}

func readFiling(ctx context.Context, tx *store.Store, l wholeLot, o FilingOrder) (*filing, error) {
	first := l.cylinders[0]
	f := &filing{wholeLot: l, release: o.Release, after: l.row}
	f.names = receivedNames{supplier: first.lot.supplier, item: first.item}
	if err := f.names.findGas(ctx, tx); err != nil {
		return nil, err
	}
	r := &orderReader{moment: l.moment, names: f.names}
	f.named = r.text("lot", o.Lot, longestName)
	f.file = r.file("file", o.File)
	d := &f.delivery
	d.receivedNames = f.names
	d.filledOn, d.assayedOn = r.past("filled_on", o.FilledOn), r.past("assayed_on", o.AssayedOn)
	d.labelOn = r.date("label_expires_on", o.LabelExpiresOn)
	d.paper = r.certificate("", &o.CertificateOrder)
	r.reasons(o.Reasons)
	f.order(r, o)
	return f, r.wrong.Err()
}

// order checks what was typed against itself and against the lot.
func (f *filing) order(r *orderReader, o FilingOrder) {
	d := &f.delivery
	if d.assayedOn != "" && d.assayedOn < max(d.filledOn, f.row.FilledOn) {
		r.wrong.Add("assayed_on", fmt.Sprintf("%s is before the fill on %s", d.assayedOn.Words(), max(d.filledOn, f.row.FilledOn).Words()), "compare both dates with the certificate")
	}
	dated := delivery{filledOn: max(d.filledOn, f.row.FilledOn), assayedOn: max(d.assayedOn, f.row.AssayedOn)}
	r.after(&dated, "label_expires_on", d.labelOn)
	current := f.cylinders[0].lot.certificate
	switch {
	case d.paper != nil:
		r.after(&dated, "expires_on", d.paper.ownDate)
		if f.named == "" && o.Release {
			r.wrong.Add("lot", "it is not said which lot the document names", "copy the lot from the document: a hold is released only for the lot that it names")
		}
	case f.file != nil && current == nil:
		r.wrong.Add("values", "the lot has no certificate that the file could go with", "enter what the document says: its number, its dates and its values")
	case f.file != nil && current.FileSHA256 != "" && current.FileSHA256 != f.file.SHA256:
		r.wrong.Add("file", "there is a file with the lot's certificate already", "enter what the new document says, to file it as the newer certificate")
	case o.File == nil && d.filledOn+d.assayedOn+d.labelOn == "":
		r.wrong.Add("number", "nothing is filled in", "enter what the certificate says, or the date that is printed on the label")
	}
}

// decide holds what came against the lot: what stops it, what it leaves in doubt, and which holds it settles. It is pure.
func (f *filing) decide() {
	f.say(f.otherLot()...)
	f.say(mergeDates(&f.after, f.delivery)...)
	k := known{moment: f.moment, parts: f.names.parts}
	paper := f.delivery.paper
	if paper != nil {
		found, doubts := k.judge(paper)
		f.say(found...)
		f.doubts = doubts
		f.say(f.extended()...)
	}
	u := f.terms(f.cylinders[0]).UseBy()
	for _, finding := range u.Findings {
		if !u.Undated || finding.Text != u.Words {
			f.say(finding)
		}
	}
	f.say(k.late(u)...)
	f.say(f.settle(u.Words, u.Undated)...)
	problem.Sort(f.findings)
}

func (f *filing) say(found ...problem.Finding) { f.findings = append(f.findings, found...) }

func (f *filing) about(rule string, severity problem.Severity, text, advice string) []problem.Finding {
	return []problem.Finding{{Rule: rule, Severity: severity, Subject: "lot " + f.row.Lot, Text: text, Advice: advice}}
}

// otherLot stops a document that names another lot (R5c).
func (f *filing) otherLot() []problem.Finding {
	named := unit.Fold(f.named)
	if named == "" || named == f.row.LotKey {
		return nil
	}
	advice := "file it with the lot that it names, and ask the supplier for the certificate of this one"
	if unit.Skeleton(named) == unit.Skeleton(f.row.LotKey) {
		advice = fmt.Sprintf("look at the document again: write %s where it says so", f.row.Lot)
	}
	return f.about("R5c", problem.Stop, fmt.Sprintf("the document names lot %s", f.named), advice)
}

// extended notes that a newer certificate gives the lot a later date, which nothing else can (R7).
func (f *filing) extended() []problem.Finding {
	current, paper := f.cylinders[0].lot.certificate, f.delivery.paper
	if current == nil || current.ExpiresOn == "" || paper.ExpiresOn <= current.ExpiresOn {
		return nil
	}
	return f.about("R7", problem.Note, fmt.Sprintf("certificate %s ends on %s, the one before it on %s", paperName(&certificate{Certificate: paper.Certificate}),
		paper.ExpiresOn.Words(), current.ExpiresOn.Words()), "the newest certificate counts; the earlier one stays readable")
}

// terms gives what the use-by of a cylinder depends on after the filing.
func (f *filing) terms(c cylinder) shelf.Terms {
	l := *c.lot
	l.Lot = f.after
	c.lot = &l
	if c.CertificateID == nil && f.delivery.paper != nil {
		c.paper = &certificate{Certificate: f.delivery.paper.Certificate}
	}
	return c.terms()
}

// settle finds the holds that end with what was filed. A document that is in doubt itself settles nothing.
func (f *filing) settle(words string, undated bool) []problem.Finding {
	if len(f.doubts) > 0 {
		found := f.about("R5c", problem.Note, f.doubts[0].text, f.doubts[0].advice())
		if f.release {
			found = append(found, f.about("R5c", problem.Note, "no hold is released: the document is in doubt itself", "clear the doubt with the supplier first")...)
		}
		return found
	}
	var found []problem.Finding
	for _, h := range f.standing {
		switch {
		case h.Reason == CertificateMissing && f.delivery.paper != nil && !f.ownPaper(h), h.Reason == Undated && !f.undated(h):
			f.settled = append(f.settled, h)
			if !f.release {
				found = append(found, f.about("R35", problem.Note, fmt.Sprintf("the hold %q can be released now", h.Reason), "release it with this document as the evidence")...)
			}
		case h.Reason == Undated:
			found = append(found, f.about("R7", problem.Note, "it stays on hold: "+words, "enter the supplier's date, or the day of fill or assay where the site has a fallback")...)
		}
	}
	return found
}

// ownPaper tells whether a hold is on a cylinder that has a document of its own, which this one is not.
func (f *filing) ownPaper(h models.Hold) bool {
	for _, c := range f.cylinders {
		if h.OnKind == onCylinder && c.ID == h.OnID {
			return c.CertificateID != nil
		}
	}
	return false
}

// undated tells whether any of the cylinders that a hold is on would still have no date.
func (f *filing) undated(h models.Hold) bool {
	for _, c := range f.cylinders {
		if (h.OnKind == onLot || c.ID == h.OnID) && f.terms(c).UseBy().Undated {
			return true
		}
	}
	return false
}

// allowed refuses what a rule stops or asks about, and a release by somebody whose it is not.
func (f *filing) allowed(by auth.Person, o FilingOrder) error {
	if err := problem.Refuse(f.findings, o.Reasons); err != nil || !f.release {
		return err
	}
	for _, h := range f.settled {
		if err := by.CheckRelease(h.Reason); err != nil {
			return err
		}
	}
	return nil
}

// evidence is what a hold is released on.
func (f *filing) evidence() string {
	if p := f.delivery.paper; p != nil {
		return strings.TrimSpace("certificate "+p.Number) + " names lot " + f.named
	}
	return "dates entered from label or certificate: " + f.terms(f.cylinders[0]).UseBy().Words
}
