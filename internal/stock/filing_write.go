package stock

import (
	"context"

	"spanroom/internal/auth"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/models"
)

// write keeps the file, the document and the lot's dates, places the hold of a doubtful document, and releases what is settled.
func (f *filing) write(ctx context.Context, tx *store.Store, act auth.Act) (FiledAnswer, error) {
	in := intake{moment: f.moment, tx: tx, act: act, names: f.names}
	if err := f.keepPaper(ctx, in); err != nil {
		return FiledAnswer{}, err
	}
	if err := f.keepDoubt(ctx, in); err != nil {
		return FiledAnswer{}, err
	}
	answer := FiledAnswer{Released: []HoldAnswer{}, Findings: append([]problem.Finding{}, f.findings...)}
	for _, h := range f.settled {
		if !f.release {
			break
		}
		h.ReleasedAt, h.ReleasedBy, h.Evidence = f.at, act.By.Name, f.evidence()
		if err := keepRelease(ctx, tx, f.moment, act, h); err != nil {
			return FiledAnswer{}, err
		}
		answer.Released = append(answer.Released, holdAnswer(h))
	}
	l, err := loadLot(ctx, tx, f.moment, f.row.ID)
	if err != nil {
		return FiledAnswer{}, err
	}
	answer.LotAnswer, err = l.answer(ctx, tx)
	return answer, err
}

// keepPaper keeps the file and the document that it shows: a new one, or the one that the lot has and that was typed in before.
func (f *filing) keepPaper(ctx context.Context, in intake) error {
	paper, sum := f.delivery.paper, ""
	if f.file != nil {
		sum = f.file.SHA256
		if err := in.tx.AddFile(ctx, *f.file); err != nil {
			return err
		}
	}
	if paper == nil && sum != "" {
		if err := f.attach(ctx, in, sum); err != nil {
			return err
		}
	}
	if paper != nil {
		paper.FileSHA256 = sum
		id, err := in.keepPaper(ctx, known{moment: f.moment, parts: f.names.parts}, f.row.ID, paper)
		if err != nil {
			return err
		}
		f.after.CertificateID = &id
		if err := in.tx.CloseTasksAbout(ctx, acceptanceTask, lotSubject(f.row.ID), f.at, in.act.By.Name); err != nil {
			return err
		}
	}
	if f.after == f.row {
		return nil
	}
	if err := in.tx.SetLotDates(ctx, f.after); err != nil {
		return err
	}
	return in.enterLot(ctx, f.after)
}

// attach puts the file to the document that holds for the lot.
func (f *filing) attach(ctx context.Context, in intake, sum string) error {
	current := f.cylinders[0].lot.certificate
	if err := in.tx.AttachFile(ctx, current.ID, sum); err != nil {
		return err
	}
	state := paperState{ID: current.ID, Kind: current.Kind, Number: current.Number, IssuedOn: current.IssuedOn, ExpiresOn: current.ExpiresOn, File: sum}
	for _, v := range current.values {
		state.Values = append(state.Values, valueState{v.Component, v.Amount, v.Uncertainty, v.Typed})
	}
	return in.enter(ctx, "certificate", lotSubject(f.row.ID), state)
}

// keepDoubt puts the lot on hold for a document that leaves the gas in doubt, unless it is on hold for that already.
func (f *filing) keepDoubt(ctx context.Context, in intake) error {
	for _, doubt := range f.doubts {
		if _, standing, err := in.tx.HoldStanding(ctx, onLot, f.row.ID, doubt.reason); err != nil || standing {
			return err
		}
		h := models.Hold{OnKind: onLot, OnID: f.row.ID, OnName: f.row.Lot, Reason: doubt.reason, Text: doubt.text}
		if _, err := in.putHold(ctx, in.tx, in.act, h, lotSubject(f.row.ID)); err != nil {
			return err
		}
	}
	return nil
}
