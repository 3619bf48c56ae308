package stock

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// ReleaseOrder ends a hold on evidence. Until is the end of an emergency acceptance.
type ReleaseOrder struct {
	ID       int64     `json:"-"`
	Evidence string    `json:"evidence"`
	Until    unit.Date `json:"until,omitempty"`
}

// ReleaseAnswer is a hold that stands no more.
type ReleaseAnswer struct {
	HoldAnswer
	OnKind   string `json:"on_kind"`
	OnName   string `json:"on_name"`
	Evidence string `json:"evidence"`
	Released string `json:"released"`
}

// Release ends a hold. Who may do so, and on what evidence, depends on its reason (R35).
func (r Room) Release(ctx context.Context, act auth.Act, o ReleaseOrder) (ReleaseAnswer, error) {
	return store.Once(ctx, r.Store, act.Once(), func(tx *store.Store) (ReleaseAnswer, error) {
		m, err := r.moment(ctx, tx)
		if err != nil {
			return ReleaseAnswer{}, err
		}
		h, err := tx.HoldByID(ctx, o.ID)
		if err != nil {
			return ReleaseAnswer{}, err
		}
		ask, err := m.releaseOf(ctx, tx, act, h, o)
		if err != nil {
			return ReleaseAnswer{}, err
		}
		h.Evidence, err = ask.decide()
		if err != nil {
			return ReleaseAnswer{}, err
		}
		h.ReleasedAt, h.ReleasedBy = m.at, act.By.Name
		if err := keepRelease(ctx, tx, m, act, h); err != nil {
			return ReleaseAnswer{}, err
		}
		if err := m.acceptance(ctx, tx, ask); err != nil {
			return ReleaseAnswer{}, err
		}
		return ReleaseAnswer{holdAnswer(h), h.OnKind, h.OnName, h.Evidence, h.ReleasedAt.String()}, nil
	})
}

func keepRelease(ctx context.Context, tx *store.Store, m moment, act auth.Act, h models.Hold) error {
	if err := tx.ReleaseHold(ctx, h); err != nil {
		return err
	}
	e := m.entry(act, "release", because(h.Reason, h.Evidence))
	e.Subject = subjectOf(h)
	if err := tx.Append(ctx, e); err != nil {
		return err
	}
	return sealReleased(ctx, tx, m, act, h)
}

// acceptanceTask is the kind of job that an emergency acceptance leaves.
const acceptanceTask = "acceptance"

// acceptance leaves the supervisor to end an emergency acceptance on its day (R5).
func (m moment) acceptance(ctx context.Context, tx *store.Store, r release) error {
	if r.hold.Reason != CertificateMissing || r.certificate != nil {
		return nil
	}
	text := fmt.Sprintf("%s %s is accepted without a certificate until %s: enter the certificate by then, or put it on hold again", r.hold.OnKind, r.hold.OnName, r.until.Words())
	return m.task(ctx, tx, auth.Supervisor, acceptanceTask, subjectOf(r.hold), text)
}

// subjectOf is what the ledger calls the thing that a hold is on.
func subjectOf(h models.Hold) string {
	if h.OnKind == onLot {
		return lotSubject(h.OnID)
	}
	return h.OnKind + ":" + h.OnName
}

// release is everything that the decision about one release rests on.
type release struct {
	hold        models.Hold
	by          auth.Person
	evidence    string
	until       unit.Date
	today       unit.Date
	fourEyes    bool // the site asks for two people, and has enough of them
	certificate *models.Certificate
	undated     string // why what the hold is on has no date still, or ""
}

func (m moment) releaseOf(ctx context.Context, tx *store.Store, act auth.Act, h models.Hold, o ReleaseOrder) (release, error) {
	r := orderReader{moment: m}
	ask := release{hold: h, by: act.By, today: m.today, fourEyes: m.settings.FourEyes}
	ask.evidence = r.text("evidence", strings.ReplaceAll(o.Evidence, "\n", " "), longestReason)
	ask.until = r.date("until", o.Until)
	if err := r.wrong.Err(); err != nil {
		return ask, err
	}
	supervisors, err := tx.CountPeople(ctx, string(auth.Supervisor))
	if err != nil {
		return ask, err
	}
	ask.fourEyes = ask.fourEyes && supervisors >= enoughForFourEyes
	switch h.Reason {
	case CertificateMissing:
		ask.certificate, err = certificateOn(ctx, tx, h)
	case Undated:
		ask.undated, err = m.undatedOn(ctx, tx, h)
	}
	return ask, err
}

// undatedOn says why a lot or a cylinder still has no date, or "".
func (m moment) undatedOn(ctx context.Context, tx *store.Store, h models.Hold) (string, error) {
	var list []cylinder
	var v *view
	var err error
	switch h.OnKind {
	case onLot:
		var l wholeLot
		l, err = loadLot(ctx, tx, m, h.OnID)
		v, list = l.view, l.cylinders
	case onCylinder:
		list = make([]cylinder, 1)
		v, list[0], err = lookAt(ctx, tx, m, unit.Tag(h.OnName))
	}
	if err != nil {
		return "", err
	}
	for _, c := range list {
		if u := v.useBy(c, ""); u.Undated {
			return u.Words, nil
		}
	}
	return "", nil
}

// enoughForFourEyes is how many people must be able to release before the one who placed a hold may not.
const enoughForFourEyes = 3

// certificateOn gives the document on file of what a hold is on, or nil.
func certificateOn(ctx context.Context, tx *store.Store, h models.Hold) (*models.Certificate, error) {
	var id *int64
	switch h.OnKind {
	case onLot:
		lot, err := tx.LotByID(ctx, h.OnID)
		if err != nil {
			return nil, err
		}
		id = lot.CertificateID
	case onCylinder:
		row, err := tx.CylinderByTag(ctx, unit.Tag(h.OnName))
		if err != nil {
			return nil, err
		}
		lot, err := tx.LotByID(ctx, row.LotID)
		if err != nil {
			return nil, err
		}
		if id = row.CertificateID; id == nil {
			id = lot.CertificateID
		}
	}
	if id == nil {
		return nil, nil
	}
	papers, err := tx.CertificatesByID(ctx, []int64{*id})
	if paper, known := papers[*id]; known {
		return &paper, err
	}
	return nil, err
}

// fourEyed are the reasons of which who placed the hold does not release it.
var fourEyed = []string{LeakSuspected, Recalled, DoubtfulGas}

// decide lets a hold go, with the evidence as it is kept, or says why not and what to do.
func (r release) decide() (evidence string, err error) {
	var wrong problem.Fields
	switch {
	case r.hold.ReleasedAt != 0:
		return "", problem.New(problem.Conflict, fmt.Sprintf("hold %d was released by %s already", r.hold.ID, r.hold.ReleasedBy), "look at the cylinder again")
	case r.by.CheckRelease(r.hold.Reason) != nil:
		return "", r.by.CheckRelease(r.hold.Reason)
	case r.fourEyes && slices.Contains(fourEyed, r.hold.Reason) && r.by.Name == r.hold.PlacedBy:
		return "", problem.New(problem.Refused, fmt.Sprintf("R35: you placed this hold; %q is released by somebody else", r.hold.Reason), "ask another supervisor to look at it and release it")
	case r.undated != "":
		return "", problem.New(problem.Refused, "R7: it has no date still, and nobody may use it without: "+r.undated, "enter its certificate, or the date on its label, on the page of its lot")
	case r.evidence == "":
		wrong.Add("evidence", "the evidence is not given", "say what was found, by whom, or which document settles it")
		return "", wrong.Err()
	case r.hold.Reason == CertificateMissing:
		return r.certified()
	}
	return r.evidence, nil
}

// emergencyAcceptance begins the evidence of what is accepted without the document that is missing.
const emergencyAcceptance = "emergency acceptance"

// certified releases for a document that is on file and that the evidence names, or as an emergency acceptance by a supervisor.
func (r release) certified() (string, error) {
	var wrong problem.Fields
	switch {
	case r.certificate != nil && unit.Fold(r.certificate.Number) != "" && !strings.Contains(unit.Fold(r.evidence), unit.Fold(r.certificate.Number)):
		wrong.Add("evidence", "it does not name the document that is on file", fmt.Sprintf("name certificate %s, after reading it", r.certificate.Number))
	case r.certificate != nil:
		return r.evidence, nil
	case r.by.Role != auth.Supervisor:
		return "", problem.New(problem.Refused, "R5c: no certificate of this lot is on file", "enter the certificate that names this lot, or ask a supervisor to accept it for a limited time")
	case r.until == "":
		wrong.Add("until", "no certificate of this lot is on file, and the end of the acceptance is not given", "give the day until which it is accepted without one")
	case r.until < r.today:
		wrong.Add("until", r.until.Words()+" is past", "give a day from today on")
	default:
		return fmt.Sprintf("%s until %s: %s", emergencyAcceptance, r.until, r.evidence), nil
	}
	return "", wrong.Err()
}
