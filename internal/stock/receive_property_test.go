package stock

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"spanroom/internal/unit"
)

// Whatever is typed, a delivery is either told to be wrong by field, or becomes exactly as many cylinders as were counted, each
// with a pressure that its gauge can show and a hold only from the closed list.
func TestAnyDeliveryIsRefusedByFieldOrBecomesWhatWasCounted(t *testing.T) {
	junk := rapid.SampledFrom([]string{"", " ", "69", "-1 bar", "25 %vol", "05/04/27", "\x00", "ﬁ", "x"})
	mostly := func(good ...string) *rapid.Generator[string] {
		sound := rapid.SampledFrom(good)
		return rapid.Custom(func(t *rapid.T) string {
			if rapid.IntRange(0, 15).Draw(t, "junk") == 0 {
				return junk.Draw(t, "junk")
			}
			return sound.Draw(t, "sound")
		})
	}
	lots, days := mostly("7K-2206", "7k-2206", "7K2206"), mostly("", "2027-10-01", "04/2027", "1 Mar 2027")
	pressures, serials := mostly("", "69 bar", "40 bar", "1000 psi", "1000 bar"), mostly("", "a-1", "a-2", "a-3")
	gases, amounts, spreads := mostly("CH4", "o2", "CO", "H2S", "N2", "Cl2"), mostly("", "2.5 %vol", "18 %vol", "100 ppm", "25 ppm", "80 %vol"), mostly("", "1 ppm", "2 %rel")
	number := rapid.Int64Range(0, 12)
	certificate := rapid.Custom(func(t *rapid.T) *CertificateOrder {
		o := &CertificateOrder{Kind: mostly("", Analysis, Conformity).Draw(t, "kind"), Number: lots.Draw(t, "number"),
			ExpiresOn: unit.Date(days.Draw(t, "expires")), MinUsePressure: unit.Typed(pressures.Draw(t, "minimum"))}
		for range rapid.IntRange(0, 5).Draw(t, "values") {
			o.Values = append(o.Values, ValueOrder{gases.Draw(t, "component"), unit.Typed(amounts.Draw(t, "amount")), unit.Typed(spreads.Draw(t, "uncertainty"))})
		}
		return o
	})
	rapid.Check(t, func(t *rapid.T) {
		d := delivery8()
		o := &d.order
		if rapid.Bool().Draw(t, "own certificate") {
			o.Certificate = certificate.Draw(t, "certificate")
		}
		o.Lot, o.Counted, o.LabelExpiresOn = lots.Draw(t, "lot"), number.Draw(t, "counted"), unit.Date(days.Draw(t, "label"))
		o.Pressure, o.PressureSource, o.Gauge = unit.Typed(pressures.Draw(t, "pressure")), mostly("", Fill, Measured).Draw(t, "source"), mostly("", "dial", "digital").Draw(t, "gauge")
		o.Serials = rapid.SliceOfN(serials, 0, 4).Draw(t, "serials")
		for range rapid.IntRange(0, 3).Draw(t, "rows") {
			o.Cylinders = append(o.Cylinders, ReceiveCylinder{Serial: serials.Draw(t, "serial"), Pressure: unit.Typed(pressures.Draw(t, "its pressure")), Checks: ReceiveChecks{Dents: rapid.Bool().Draw(t, "dents")}})
		}
		read, err := readDelivery(d.known.moment, d.names, *o)
		if err != nil {
			if len(wrongFields(err)) == 0 {
				t.Fatalf("it is wrong without a field: %v", err)
			}
			return
		}
		p := d.known.decide(read)
		if int64(len(p.cylinders)) != o.Counted {
			t.Fatalf("%d cylinders of %d counted", len(p.cylinders), o.Counted)
		}
		for _, f := range p.findings {
			if f.Text == "" || f.Advice == "" {
				t.Fatalf("a finding without words: %+v", f)
			}
		}
		for _, h := range append(p.holds, p.cylinders[0].holds...) {
			if !slices.Contains(holdReasons, h.reason) {
				t.Fatalf("a hold for %q", h.reason)
			}
		}
	})
}
