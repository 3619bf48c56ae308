package stock

import (
	"context"
	"net/url"
	"regexp"
	"strings"

	"spanroom/internal/auth"
	"spanroom/internal/gs1"
	"spanroom/internal/store"
	"spanroom/internal/unit"
)

// Meaning is one thing that a text may mean, and the page where that stands.
type Meaning struct {
	Kind  string   `json:"kind"`
	Code  string   `json:"code"` // as the store writes it; the text itself where nothing is known by it
	Tag   unit.Tag `json:"tag"`  // where it is one cylinder
	Words string   `json:"words"`
	URL   string   `json:"url"` // "" where somebody has to look first
}

// ScanAnswer is what a scanned or typed text means. Where it may be more than one thing the kind is Several, and the choices
// say which.
type ScanAnswer struct {
	Meaning
	Text    string     `json:"text"`
	GS1     *ScanLabel `json:"gs1"` // where the text is a code of that standard
	Choices []Meaning  `json:"choices"`
}

// What a text may be besides a thing of the catalogue, whose kind is its noun.
const (
	ScanCylinder = "cylinder"
	ScanLot      = "lot"
	ScanSerial   = "serial"
	ScanGS1      = "gs1" // a label of which nothing is here yet, or one that cannot be taken as it is
	ScanSeveral  = "several"
	ScanText     = "text"
)

// coded are the nouns whose codes people scan or type.
var coded = []string{"item", "instrument", "place", "regulator", "tubing", "cap", "round", "procedure", "supplier"}

// ScanKinds lists every kind that a scan can have.
func ScanKinds() []string {
	return append([]string{ScanCylinder, ScanLot, ScanSerial, ScanGS1, ScanSeveral, ScanText}, coded...)
}

// scanning is one text on its way: who scanned it, and when.
type scanning struct {
	moment
	store *store.Store
	by    auth.Person
}

// symbology is what some scanners type in front, by ISO/IEC 15424.
var symbology = regexp.MustCompile(`^\][A-Za-z][0-9A-Za-z]`)

// Scan finds out what a text means by exact names alone; any other text is a search, never a guess (R4).
func (r Room) Scan(ctx context.Context, by auth.Person, text string) (ScanAnswer, error) {
	text = strings.TrimSpace(text)
	plain := strings.TrimSpace(symbology.ReplaceAllString(text, ""))
	answer := ScanAnswer{Text: text, Choices: []Meaning{}}
	m, err := r.moment(ctx, r.Store)
	if err != nil {
		return answer, err
	}
	s := scanning{moment: m, store: r.Store, by: by}
	tag, ours, err := s.tag(ctx, plain)
	if err != nil || ours {
		answer.Meaning = ofCylinder(tag)
		return answer, err
	}
	if code, is := gs1.Read(text, s.year()); is {
		return s.label(ctx, answer, code)
	}
	all, err := s.meanings(ctx, plain)
	switch len(all) {
	case 0:
		answer.Meaning = Meaning{Kind: ScanText, Code: plain, Words: "nothing is known by this name", URL: searchFor(plain)}
	case 1:
		answer.Meaning = all[0]
	default:
		answer.Meaning, answer.Choices = Meaning{Kind: ScanSeveral, Code: plain, Words: "it may be one of several things"}, all
	}
	return answer, err
}

// year is the one from which the two digits of a scanned date are understood.
func (m moment) year() int { return m.today.Time().Year() }

// tag tells whether a text is one of our own tags that was given out.
func (s scanning) tag(ctx context.Context, text string) (unit.Tag, bool, error) {
	tag, err := unit.ParseTag(text)
	if err != nil {
		return "", false, nil
	}
	ours, err := s.store.TagTaken(ctx, tag)
	return tag, ours, err
}

func ofCylinder(tag unit.Tag) Meaning {
	return Meaning{Kind: ScanCylinder, Code: string(tag), Tag: tag, Words: "cylinder " + string(tag), URL: "/cylinders/" + string(tag)}
}

// searchFor is the list of everything with a text in its tag, lot or serial, what is gone included.
func searchFor(text string) string {
	return "/cylinders?stage=all&q=" + url.QueryEscape(text)
}
