package gs1

import "testing"

func TestWhereASeparatorMayBeMissing(t *testing.T) {
	const item = "0109521234543213"
	for text, want := range map[string]string{
		item + "10LOT17271231":               "(01)09521234543213(10)LOT(17)271231",
		item + "1727123110LOT-7A21CYL000123": "(01)09521234543213(17)271231(10)LOT-7A(21)CYL000123",
		item + "10LOT21CYL017271231":         "(01)09521234543213(10)LOT(21)CYL0(17)271231",
		item + "21CYL011260115":              "(01)09521234543213(21)CYL0(11)260115",
		item + "10L1726010117271231":         "(01)09521234543213(10)L17260101(17)271231", // the same date cannot be two
		item + "10ABCDEFGHIJ21CYL000123":     "(01)09521234543213(10)ABCDEFGHIJ(21)CYL000123",
		item + "10LOT17271231" + separator:   "",
		item + separator + "10LOT17271231":   "",
		item + "10LOT17271345":               "", // no such month, no date
		item + "17271231" + "10LOT17271231":  "(01)09521234543213(17)271231(10)LOT(17)271231",
		item + "17271130" + "10LOT17271231":  "", // there is another expiry already
		item + "10LOT2112":                   "", // too short for a serial
		item + "10LOT3712":                   "", // nothing shows that this is a count
		item + "1717271231":                  "",
		item + "10LOT":                       "",
	} {
		if got := Bracketed(elementString(text, separator).runOn()); got != want {
			t.Errorf("%q: got %s, want %s", text, got, want)
		}
	}
	for _, text := range []string{"(01)09521234543213(10)LOT17271231", "https://a.org/01/09521234543213/10/LOT17271231"} {
		if m, _ := recognise(text); !m.conforms() || m.runOn() != nil {
			t.Errorf("%s shows where its elements end, and is split", text)
		}
	}
}
