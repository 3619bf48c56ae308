package gs1

import (
	"strings"
	"testing"
)

// reading is a text with what it reads as: elements in brackets, or a problem, or both where they do not go together.
type reading struct {
	text, elements string
	problem        Problem
}

func readAll(t *testing.T, parse func(string) message, readings []reading) {
	t.Helper()
	for _, want := range readings {
		m := parse(want.text)
		elements := ""
		if m.readable() {
			elements = Bracketed(m.elements)
		}
		if m.fault.Problem != want.problem || elements != want.elements {
			t.Errorf("%.60q: got %s %q, want %s %q", want.text, elements, m.fault.Problem, want.elements, want.problem)
		}
	}
}

func TestElementStrings(t *testing.T) {
	readAll(t, raw, []reading{
		{"", "", Format},
		{"01095212345432131", "", Format},
		{"^", "", Empty},
		{"^0109521234543213", "(01)09521234543213", ""},
		{"^0109521234543213^", "(01)09521234543213", ""},
		{"^0109521234543213^^10A", "", UnknownAI},
		{"^^0109521234543213", "", UnknownAI},
		{"^010952123454321310A^17271231", "(01)09521234543213(10)A(17)271231", ""},
		{"^01095212345432131727123110A", "(01)09521234543213(17)271231(10)A", ""},
		{"^010952123454321317271231^10A^", "(01)09521234543213(17)271231(10)A", ""},
		{"^010952123454321310^17271231", "", Empty},
		{"^010952123454321310", "", Empty},
		{"^01095212345432^10A", "", Length},
		{"^0109521234543213422528^10A", "(01)09521234543213(422)528(10)A", ""},
		{"^010952123454321342252810A", "", Length},
		{"^0109521234543213310200012521S", "(01)09521234543213(3102)000125(21)S", ""},
		{"^0109521234543213310600012521S", "", UnknownAI},
		{"^010952123454321310LOT\x1d17271231", "", Charset},
		{"^1", "", UnknownAI},
		{"^0414", "", UnknownAI},
	})
}

func TestBracketedElements(t *testing.T) {
	readAll(t, bracketed, []reading{
		{"", "", Empty},
		{"0109521234543213", "", Format},
		{"(01)09521234543213(10)", "", Format},
		{"(01", "", Format},
		{"(01)09521234543213(10", "", Format},
		{" (01)09521234543213", "", Format},
		{"(1A)12345", "", UnknownAI},
		{"(9)12345", "", UnknownAI},
		{"(012)12345", "", UnknownAI},
		{`(01)09521234543213(10)A\(17)B`, `(01)09521234543213(10)A\(17)B`, ""},
		{"(01)09521234543213(10)A)B", "(01)09521234543213(10)A)B", ""},
		{"(01)09521234543213(10)A^B", "", Charset},
		{`(01)09521234543213(10)A\B`, "", Charset},
		{"(01)09521234543214(17)27", "", Length}, // all lengths come before any content
		{"(01)09521234543214(17)271345", "", CheckDigit},
		{"(01)09521234543213(17)271345", "", DateMonth},
	})
}

func TestScansWithASymbology(t *testing.T) {
	readAll(t, scan, []reading{
		{"]", "", Symbology}, {"]C", "", Symbology}, {"]C0LOT", "", Symbology}, {"]A0LOT", "", Symbology}, {"]c10109521234543213", "", Symbology},
		{"]C1", "", Empty}, {"]C1^0109521234543213", "", UnknownAI},
		{"]C10109521234543213", "(01)09521234543213", ""}, {"]e00109521234543213", "(01)09521234543213", ""}, {"]e10109521234543213", "(01)09521234543213", ""},
		{"]d20109521234543213", "(01)09521234543213", ""}, {"]J10109521234543213", "(01)09521234543213", ""},
		{"]Q3010952123454321310A\x1d21B\x1d", "(01)09521234543213(10)A(21)B", ""},
		{"]Q3010952123454321310A^21B", "", Charset},
		{"]Q1some words", "", Symbology}, {"]d1", "", Symbology}, {"]Q1https://example.org/shelf", "", URI},
		{"]d1https://example.org/01/09521234543213", "(01)09521234543213", ""},
		{"]E09521234543213", "(01)09521234543213", ""}, {"]E00416000336108", "(01)00416000336108", ""},
		{"]E0952123454321", "", Length}, {"]E095212345432130", "", Length}, {"]E0952123454321X", "", Charset}, {"]E09521234543214", "", CheckDigit},
		{"]E402345673", "(01)00000002345673", ""}, {"]E402345674", "", CheckDigit},
		{"]I109521234543213", "(01)09521234543213", ""}, {"]I19521234543213", "", Length},
		{"]E09521234543213|]e01727123110A", "(01)09521234543213(17)271231(10)A", ""}, {"]E09521234543213]e021B", "(01)09521234543213(21)B", ""},
		{"]E09521234543213]e017271345", "", DateMonth}, {"]E09521234543213]e0", "", Empty}, {"]E09521234543213]e03712", "(01)09521234543213(37)12", Exclusive},
	})
}

func TestDigitalLinks(t *testing.T) {
	const item = "https://example.org/01/09521234543213"
	readAll(t, digitalLink, []reading{
		{"", "", URI}, {"https://", "", URI}, {"https://example.org", "", URI}, {"https://example.org/", "", URI}, {"ftp://example.org/01/09521234543213", "", URI},
		{"https:///01/09521234543213", "", URI}, {"https://exam ple.org/01/09521234543213", "", URI}, {"https://example.org-/01/09521234543213", "", URI},
		{item, "(01)09521234543213", ""}, {"HTTP://A:8080/01/09521234543213", "(01)09521234543213", ""},
		{"https://example.org/shop/no1/01/09521234543213/10/A", "(01)09521234543213(10)A", ""},
		{"https://example.org/gtin/09521234543213", "", URI}, {"https://example.org/10/A", "", URI}, {"https://example.org/shelf/3", "", URI},
		{item + "/", "", URI}, {item + "/10", "", URI}, {item + "/10/", "", Empty}, {"https://example.org/01/", "", Empty},
		{item + "/22/V/10/A/21/B", "(01)09521234543213(22)V(10)A(21)B", ""}, {item + "/22/V/21/B", "(01)09521234543213(22)V(21)B", ""},
		{item + "/21/B/10/A", "", URI}, {item + "/10/A/10/B", "", URI}, {item + "/10/A/235/C", "", URI}, {item + "/17/271231", "", URI}, {item + "/foo/bar", "", URI},
		{item + "/235/C", "(01)09521234543213(235)C", ""},
		{"https://example.org/414/9521234543213/254/3", "(414)9521234543213(254)3", ""}, {"https://example.org/414/9521234543213/254/3/7040/1ABc", "", URI},
		{"https://example.org/01/09521234543213/414/9521234543213", "(414)9521234543213", ""}, // the last key counts
		{"https://example.org/8010/9521234A/8011/5", "(8010)9521234A(8011)5", ""},
		{"https://example.org/01/9521234543213", "(01)09521234543213", ""}, {"https://example.org/01/416000336108", "(01)00416000336108", ""},
		{"https://example.org/01/02345673", "(01)00000002345673", ""}, {"https://example.org/01/2345673", "", Length}, {"https://example.org/01/09521234543214", "", CheckDigit},
		{item + "/21/A%2fB", "(01)09521234543213(21)A/B", ""}, {item + "/21/A%2", "", URI}, {item + "/21/A%zz", "", URI}, {item + "/21/A%00", "", Charset}, {item + "/21/A%20B", "", Charset},
		{item + "/21/A+B", "(01)09521234543213(21)A+B", ""}, {item + "?99=A+B", "", Charset}, {item + "?99=A%2BB", "(01)09521234543213(99)A+B", ""},
		{item + "?17=271231&11=260115", "(01)09521234543213(17)271231(11)260115", ""}, {item + "?17=271231;11=260115", "(01)09521234543213(17)271231(11)260115", ""},
		{item + "?&&17=271231&&linkType=all&flag&99#17=271331", "(01)09521234543213(17)271231", ""},
		{item + "?17=", "", Empty}, {item + "?17=2712", "", Length}, {item + "?17=271345", "", DateMonth}, {item + "?4=1", "", UnknownAI}, {item + "?3106=1", "", UnknownAI},
		{item + "?10=A", "", URI}, {item + "?21=A", "", URI}, {item + "?8200=A", "", URI},
		{"https://example.org/00/123456789012345675?02=09521234543213&37=25&10=A", "(00)123456789012345675(02)09521234543213(37)25(10)A", ""},
		{item + "?99=A&99=A", "(01)09521234543213(99)A(99)A", Repeat}, {item + "?99=A&99=B", "(01)09521234543213(99)A(99)B", Repeat},
		{item + "?37=5", "(01)09521234543213(37)5", Exclusive}, {"https://example.org/00/123456789012345675?17=271231", "(00)123456789012345675(17)271231", Requisite},
		{item + "|17", "", URI}, {item + "/21/Ä", "", URI},
	})
}

func TestWhatGoesTogether(t *testing.T) {
	const item = "(01)09521234543213"
	for text, want := range map[string]Problem{
		item + "(3102)000125(3103)000125": Exclusive, item + "(3102)000125(3102)000125": "", item + "(3102)000125(3202)000125": "",
		item + "(3102)000125(3102)000126": Repeat, item + "(10)A(10)A": "", item + "(10)A(10)B": Repeat, item + item: "",
		item + "(21)A(235)B": Exclusive, item + "(250)A": Requisite, item + "(250)A(21)B": "", "(21)B(250)A": Requisite,
		"(02)09521234543213": Requisite, "(02)09521234543213(37)5": Requisite, "(02)09521234543213(37)5(00)123456789012345675": "",
		"(10)A(10)B": Requisite, "(02)09521234543213(03)09521234543213(37)5": Exclusive,
		"(90)A": "", "(8030)A": Requisite, item + "(8030)A": Requisite, item + "(21)B(8030)A": "",
		"(253)1234567890128(8030)A": Requisite, "(253)1234567890128S(8030)A": "", "(8004)9521234A(8030)A": "",
		item + "(3922)100": Requisite, item + "(3922)100(3102)000125": "", item + "(3922)100(30)5": "", item + "(421)5281011AB(420)1011": Exclusive,
	} {
		if got := bracketed(text).fault.Problem; got != want {
			t.Errorf("%s: got %q, want %q", text, got, want)
		}
	}
}

// A text of thousands of elements must not take its time from other requests.
func TestManyElementsAreReadInNoTime(t *testing.T) {
	text := strings.Repeat("2011", LongestText/4)
	if m := elementString(text, separator); m.fault.Problem != Requisite || len(m.elements) != LongestText/4 {
		t.Errorf("got %d elements, %q", len(m.elements), m.fault.Problem)
	}
	if m := elementString("99"+strings.Repeat("10AAAA21", 12)[:90], separator); m.runOn() != nil {
		t.Errorf("lots and serials by the dozen are read as %v", m.runOn())
	}
}
