package gs1

import (
	"strings"
	"testing"

	"spanroom/internal/problem"
)

func TestWhatAStoreroomReads(t *testing.T) {
	want := [...]string{"09521234543213", "7K-2206", "CYL000123", "2028-02-29", "2026-01-15"}
	for _, text := range []string{
		"]C101095212345432131728020011260115107K-2206\x1d21CYL000123",
		"\x1d0109521234543213172802001126011521CYL000123\x1d107K-2206",
		"0109521234543213172802001126011521CYL000123\x1d107K-2206\r\n",
		"^0109521234543213172802001126011521CYL000123^107K-2206",
		"(01)09521234543213(17)280200(11)260115(10)7K-2206(21)CYL000123",
		"https://example.org/01/09521234543213/10/7K-2206/21/CYL000123?17=280200&11=260115",
	} {
		s, ok := Read(text, 2026)
		if !ok || len(s.Findings) > 0 || s.Split != nil || s.Problem != "" || len(s.Elements) != 5 {
			t.Errorf("%q: %v, %+v", text, ok, s)
		}
		if got := [...]string{s.Item, s.Lot, s.Serial, string(s.ExpiresOn), string(s.ProducedOn)}; got != want {
			t.Errorf("%q: got %v", text, got)
		}
	}
	if s, ok := Read("]E402345673", 2026); !ok || s.Item != "00000002345673" {
		t.Errorf("a small item reads as %+v", s)
	}
}

func TestUnknownTextIsNotRead(t *testing.T) {
	for _, text := range []string{
		"", "7K-2206", "7F3K-2QAQ", "9521234543213", "09521234543213", "02345673", "17280200", "10LOT", "(sic) as typed", "(7) bottles",
		"0109521234543214", "0109521234543213XYZ", "01095212345432139", "0109521234543213373", "]C0LOT", "]Q1https://example.org/cylinders/7F3K-2QAQ", "]",
		"https://example.org/cylinders/7F3K-2QAQ", "http://", "]C1" + strings.Repeat("9", LongestText),
	} {
		if s, ok := Read(text, 2026); ok {
			t.Errorf("%.40q is read as %+v", text, s)
		}
	}
}

func TestAWrongScanStopsWithWhatIsWrong(t *testing.T) {
	for text, want := range map[string]string{
		"(17)271345":                    "month 13", // S06
		"(17)270431":                    "day 31 of month 04",
		"]C117271345":                   "month 13",
		"01095212345432131727134510LOT": "month 13",
		"https://a.org/01/09521234543213?17=271345": "month 13",
		"(01)09521234543214":                        "check digit",
		"(01)0952123454321":                         "too short",
		"(01)09521234543213(10)LOT 7":               "character",
		"(14)271231":                                "no identifier",
		"]C1":                                       "nothing after",
		"(10)LOT(17":                                "not of the form",
		"(8008)26011524(01)09521234543213":          "time of day",
		"]E0952123454321":                           "too short",
		"0109521234543213\x1d4307XX":                "not of the form",
	} {
		s, ok := Read(text, 2026)
		if !ok || s.Problem == "" || s.Elements != nil || s.Lot+s.Item != "" || s.ExpiresOn != "" {
			t.Errorf("%q: %v, %+v", text, ok, s)
			continue
		}
		if len(s.Findings) != 1 || s.Findings[0].Severity != problem.Stop || s.Findings[0].Rule != "R4" || s.Findings[0].Advice == "" || !strings.Contains(s.Findings[0].Text, want) {
			t.Errorf("%q: %+v does not say %q", text, s.Findings, want)
		}
	}
}

func TestElementsThatDoNotGoTogetherAreReadWithAWord(t *testing.T) {
	for text, want := range map[string]problem.Severity{
		"(10)7K-2206(17)271231":                     problem.Note,
		"(01)09521234543213(10)7K-2206(37)5":        problem.Ask,
		"(01)09521234543213(10)7K-2206(21)A(21)B":   problem.Ask,
		"(01)09521234543213(10)7K-2206(21)A(235)TP": problem.Ask,
	} {
		s, ok := Read(text, 2026)
		if !ok || s.Lot != "7K-2206" || len(s.Findings) != 1 || s.Findings[0].Severity != want {
			t.Errorf("%s: %v, %+v", text, ok, s)
		}
		if strings.Contains(text, "(21)B") && s.Serial != "" {
			t.Errorf("of two serials %q is taken", s.Serial)
		}
	}
}

func TestADroppedSeparatorIsAsked(t *testing.T) {
	for text, lot := range map[string]string{
		"010952123454321310LOT17271231":             "LOT17271231",
		"]C1010952123454321310LOT17271231":          "LOT17271231",
		"010952123454321310LOTOF2026A21CYL00000123": "", // too long for a lot: the split is all there is
	} {
		s, ok := Read(text, 2026)
		if !ok || s.Lot != lot || len(s.Split) != 3 || len(s.Findings) != 1 || s.Findings[0].Severity != problem.Ask {
			t.Fatalf("%s: %v, %+v", text, ok, s)
		}
		if said := s.Findings[0].Text; !strings.Contains(said, Bracketed(s.Split[1:])) {
			t.Errorf("%q does not offer %s", said, Bracketed(s.Split[1:]))
		}
	}
}

func TestDatesScannedIntoADateField(t *testing.T) {
	for text, want := range map[string]string{
		"17280200": "2028-02-29", "17270200": "2027-02-28", "(17)271231": "2027-12-31", " 11260115\n": "2026-01-15", "15770101": "1977-01-01",
	} {
		if got, err := ReadDate(text, 2026); err != nil || string(got) != want {
			t.Errorf("%q: got %s, %v", text, got, err)
		}
	}
	for text, want := range map[string]string{
		"17271345": "month 13", "17270431": "day 31", "17270001": "month 00",
		"": "not a scanned date", "20271231": "not a scanned date", "1728020": "not a scanned date", "172802001": "not a scanned date", "10280200": "not a scanned date",
		"2027-12-31": "not a scanned date", "17/02/2027": "not a scanned date", "17022027": "month 20", "12312027": "month 20",
	} {
		got, err := ReadDate(text, 2026)
		if got != "" || problem.KindOf(err) != problem.Invalid || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %q, %v; want %q", text, got, err, want)
		}
	}
}
