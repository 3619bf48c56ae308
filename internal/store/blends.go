package store

import (
	"context"

	"spanroom/internal/unit"
	"spanroom/models"
)

// BlendComponent is one part of a blend with what the site knows of that component.
type BlendComponent struct {
	ComponentID     int64       `gorm:"column:component_id"`
	Code            string      `gorm:"column:code"`
	Name            string      `gorm:"column:name"`
	Formula         string      `gorm:"column:formula"`
	Amount          unit.Amount `gorm:"column:amount_ppb"`
	Tolerance       unit.Amount `gorm:"column:tolerance_ppb"`       // of this blend; 0 where the component or the site says
	MakingTolerance *int64      `gorm:"column:making_tolerance_bp"` // of the component, in hundredths of a percent of the amount
	CapMonths       *int64      `gorm:"column:cap_months"`
	FallbackMonths  *int64      `gorm:"column:fallback_months"`
	OpenedDays      *int64      `gorm:"column:opened_days"`
	Adsorbs         bool        `gorm:"column:adsorbs"`
	Balance         bool        `gorm:"column:is_balance"`
}

const componentColumns = `c.id AS component_id, c.code, c.name, c.formula, c.making_tolerance_bp, c.cap_months, c.fallback_months, c.opened_days, c.adsorbs`

// BlendComponents lists the components of a blend in their order, without its balance gas.
func (s *Store) BlendComponents(ctx context.Context, blendID int64) ([]BlendComponent, error) {
	var rows []BlendComponent
	err := s.db(ctx).Raw(`SELECT `+componentColumns+`, b.amount_ppb, b.tolerance_ppb
		FROM blend_components b JOIN components c ON c.id = b.component_id
		WHERE b.blend_id = ? ORDER BY b.position`, blendID).Scan(&rows).Error
	return rows, err
}

// BlendWhole lists the components of a blend and, last, its balance gas with what remains for it.
func (s *Store) BlendWhole(ctx context.Context, blendID int64) ([]BlendComponent, error) {
	blends, err := s.BlendsWhole(ctx, []int64{blendID})
	return blends[blendID], err
}

// partOf is a component with the blend that it is in.
type partOf struct {
	BlendID int64 `gorm:"column:blend_id"`
	BlendComponent
}

// BlendsWhole is BlendWhole for several blends at once.
func (s *Store) BlendsWhole(ctx context.Context, blendIDs []int64) (map[int64][]BlendComponent, error) {
	whole := make(map[int64][]BlendComponent, len(blendIDs))
	if len(blendIDs) == 0 {
		return whole, nil
	}
	var parts, balances []partOf
	err := s.db(ctx).Raw(`SELECT `+componentColumns+`, b.blend_id, b.amount_ppb, b.tolerance_ppb
		FROM blend_components b JOIN components c ON c.id = b.component_id
		WHERE b.blend_id IN ? ORDER BY b.blend_id, b.position`, blendIDs).Scan(&parts).Error
	if err != nil {
		return nil, err
	}
	err = s.db(ctx).Raw(`SELECT `+componentColumns+`, b.id AS blend_id FROM blends b JOIN components c ON c.code = b.balance
		WHERE b.id IN ?`, blendIDs).Scan(&balances).Error
	if err != nil {
		return nil, err
	}
	for _, p := range parts {
		whole[p.BlendID] = append(whole[p.BlendID], p.BlendComponent)
	}
	for _, b := range balances {
		rest := unit.Amount(1_000_000_000)
		for _, p := range whole[b.BlendID] {
			rest -= p.Amount
		}
		b.Amount, b.Balance = max(rest, 0), true
		whole[b.BlendID] = append(whole[b.BlendID], b.BlendComponent)
	}
	return whole, nil
}

// PutBlendComponents replaces the components of a blend.
func (s *Store) PutBlendComponents(ctx context.Context, blendID int64, rows []models.BlendComponent) error {
	if err := s.db(ctx).Where("blend_id = ?", blendID).Delete(&models.BlendComponent{}).Error; err != nil {
		return err
	}
	for i := range rows {
		rows[i].BlendID, rows[i].Position = blendID, int64(i)
	}
	if len(rows) == 0 {
		return nil
	}
	return translate(s.db(ctx).Create(&rows).Error)
}
