package stock

import (
	"cmp"
	"encoding/json"
	"fmt"
	"strings"

	"spanroom/internal/catalogue"
	"spanroom/internal/fit"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// The kinds of piece in a regulator set.
const (
	ofRegulator = "regulator"
	ofTubing    = "tubing"
	ofCap       = "cap"
)

var pieceKinds = []string{ofRegulator, ofTubing, ofCap}

// piece is one regulator, tubing or cap: what it is, and where it is now.
type piece struct {
	kind, code, name string
	what             string // in short: "CGA C-10, 103 bar, 0.3 L/min"
	place            string // "" while somebody has it, and where nobody knows
	with             string // who has it
	since            unit.Instant
	tag              unit.Tag // the cylinder that it is out with, or was left on
	leftOn           bool
	lastBlend        int64  // what it was last used on since it was serviced, 0 for nothing
	lastGas          string // the component that the entry says, where nothing was
	set              fit.Set
	row              *models.Regulator // of a regulator
	holds            []models.Hold     // on a regulator
}

// pieceOf reads a piece; its last gas comes after, for many at once.
func pieceOf(kind string, row store.Piece) (piece, error) {
	p := piece{kind: kind, code: row.Code}
	var place string
	var err error
	switch kind {
	case ofRegulator:
		place, err = p.regulator(row)
	case ofTubing:
		place, err = p.tubing(row)
	default:
		place, err = p.cap(row)
	}
	p.upkeep().Uses = row.Uses
	if row.CheckoutID != 0 && row.TakenAt >= row.ServicedAt {
		p.lastBlend = row.BlendID
	}
	p.stand(row, place)
	return p, err
}

func (p *piece) regulator(row store.Piece) (string, error) {
	doc, err := read[catalogue.Regulator](row)
	r := doc.Fit()
	p.name, p.lastGas, p.set.Regulator = cmp.Or(doc.Name, doc.Code), doc.LastGas, &r
	p.row = &models.Regulator{
		ID: row.ID, Code: doc.Code, Name: p.name, Version: doc.Version, Inlet: string(r.Inlet), MaxPressure: unit.PressureBar(doc.MaxPressureBar),
		MinimumInlet: unit.PressureBar(doc.MinimumInletBar), Mode: doc.Mode, Flow: r.Flow, Body: doc.Body,
	}
	gives := "on demand"
	if doc.Mode == catalogue.FixedFlow {
		gives = fmt.Sprintf("%g L/min", doc.FlowLMin)
	}
	p.what = fmt.Sprintf("%s, %.0f bar, %s", r.Inlet, doc.MaxPressureBar, gives)
	if r.Adapter != nil {
		p.what += ", with an adapter from " + string(r.Adapter.From)
	}
	return doc.Place, err
}

func (p *piece) tubing(row store.Piece) (string, error) {
	doc, err := read[catalogue.Tubing](row)
	x := doc.Fit()
	p.name, p.lastGas, p.set.Tubing = cmp.Or(doc.Name, doc.Code), doc.LastGas, &x
	p.what = fmt.Sprintf("%s, %g m", doc.Material, doc.LengthM)
	return doc.Place, err
}

func (p *piece) cap(row store.Piece) (string, error) {
	doc, err := read[catalogue.Cap](row)
	c := doc.Fit()
	p.name, p.set.Cap, p.what = cmp.Or(doc.Name, doc.Code), &c, "for any model"
	if len(doc.Models) > 0 {
		p.what = "for " + strings.Join(doc.Models, ", ")
	}
	return doc.Place, err
}

func read[D any](row store.Piece) (doc D, err error) {
	if err = json.Unmarshal([]byte(row.Doc), &doc); err != nil {
		err = fmt.Errorf("stock: reading the kept entry of %s: %w", row.Code, err)
	}
	return doc, err
}

// stand says where the piece is: out with a cylinder, else where the last return since its entry left it, else where the entry says.
func (p *piece) stand(row store.Piece, kept string) {
	switch {
	case row.CheckoutID != 0 && row.ReturnedAt == 0:
		p.with, p.since, p.tag = row.Holder, row.TakenAt, row.Tag
	case row.ReturnedAt == 0 || row.ReturnedAt < row.RecordedAt:
		p.place = kept
	case !row.SetLeftOn:
		p.place = cmp.Or(row.ReturnedTo, kept)
	case row.CylinderHolder != "":
		p.leftOn, p.tag, p.with, p.since = true, row.Tag, row.CylinderHolder, row.CylinderHeldSince
	default:
		p.leftOn, p.tag, p.place = true, row.Tag, cmp.Or(row.CylinderPlace, row.ReturnedTo)
	}
}

// upkeep is what the site keeps of its condition.
func (p *piece) upkeep() *fit.Upkeep {
	switch p.kind {
	case ofRegulator:
		return &p.set.Regulator.Upkeep
	case ofTubing:
		return &p.set.Tubing.Upkeep
	default:
		return &p.set.Cap.Upkeep
	}
}

// gases are the formulas of what went through it last; none where nobody knows.
func (p *piece) gases() *[]string {
	switch p.kind {
	case ofRegulator:
		return &p.set.Regulator.LastGas
	case ofTubing:
		return &p.set.Tubing.LastGas
	default:
		return new([]string)
	}
}

// where says where it is: "at CAB-T", "with B on 7F3K-2 since 07:12", "left on 7F3K-2, at CAGE".
func (p *piece) where(v *view) string {
	switch {
	case p.with != "":
		return fmt.Sprintf("with %s on %s since %s", p.with, p.tag, v.clock(p.since))
	case p.leftOn:
		return fmt.Sprintf("left on %s, at %s", p.tag, p.place)
	case p.place != "":
		return "at " + p.place
	}
	return "at a place that nobody entered"
}
