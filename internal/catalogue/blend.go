package catalogue

import (
	"context"
	"fmt"

	"spanroom/internal/fit"
	"spanroom/internal/problem"
	"spanroom/internal/store"
	"spanroom/internal/unit"
	"spanroom/models"
)

// Blend is a mixture independent of supplier and size. Its balance gas takes what the components leave.
type Blend struct {
	Code          string            `json:"code"`
	Name          string            `json:"name,omitempty"`
	Version       int64             `json:"version"`
	Balance       string            `json:"balance"`
	BalanceAmount unit.Typed        `json:"balance_amount,omitempty"`
	BalanceVolPct float64           `json:"balance_vol_pct"`
	Components    []BlendPart       `json:"components"`
	Reasons       map[string]string `json:"reasons,omitempty"`
	Note          string            `json:"note,omitempty"`
}

// BlendPart is one component of a blend. Without a tolerance of its own the component's or the site's holds.
type BlendPart struct {
	Component string     `json:"component"`
	Amount    unit.Typed `json:"amount"`
	AmountPPM float64    `json:"amount_ppm"`
	Tolerance unit.Typed `json:"tolerance,omitempty"`
}

func (o *Blend) head() head { return head{"blend", &o.Code, &o.Name, &o.Version} }

func (o *Blend) check(ctx context.Context, c *checker) projection {
	c.given(o.Reasons)
	before := len(c.wrong)
	rows, formulas := o.parts(ctx, c)
	if gas := c.component(ctx, "balance", &o.Balance, false); gas != nil {
		formulas = append(formulas, gas.Formula)
	}
	stated := quantity(c, "balance_amount", &o.BalanceAmount, unit.ParseAmount)
	if len(c.wrong) == before {
		o.sum(c, rows, stated)
	}
	for _, f := range fit.Reacts(formulas) {
		c.rule("reasons."+f.Rule, f)
	}
	c.note("note", &o.Note)
	return projection{
		row: &models.Blend{Code: o.Code, Name: named(o.Name, o.Code), Version: o.Version, Balance: o.Balance},
		children: func(ctx context.Context, tx *store.Store, id int64) error {
			return tx.PutBlendComponents(ctx, id, rows)
		},
	}
}

// parts reads the components into rows, and gives their formulas.
func (o *Blend) parts(ctx context.Context, c *checker) (rows []models.BlendComponent, formulas []string) {
	if o.Components == nil {
		o.Components = []BlendPart{}
	}
	seen := map[string]bool{}
	for i := range o.Components {
		part, field := &o.Components[i], fmt.Sprintf("components.%d.", i)
		gas := c.component(ctx, field+"component", &part.Component, true)
		amount := needed(c, field+"amount", &part.Amount, unit.ParseAmount)
		tolerance := quantity(c, field+"tolerance", &part.Tolerance, unit.ParseAmount)
		part.AmountPPM = amount.PPM()
		if tolerance > amount && amount > 0 {
			c.wrong.Add(field+"tolerance", fmt.Sprintf("%s is more than the amount itself", clip(string(part.Tolerance))), `give it as an amount, such as "1 ppm"; "%" is read as %vol`)
		}
		if c.once(field+"component", "component", part.Component, seen); gas == nil {
			continue
		}
		if part.Component == o.Balance {
			c.wrong.Add(field+"component", fmt.Sprintf("%s is the balance gas as well", part.Component), "take the line out, or choose another balance gas")
		}
		formulas = append(formulas, gas.Formula)
		rows = append(rows, models.BlendComponent{ComponentID: gas.ID, Amount: amount, Tolerance: tolerance})
	}
	return rows, formulas
}

// sum judges what the blend adds up to, and gives the balance what remains.
func (o *Blend) sum(c *checker, rows []models.BlendComponent, stated unit.Amount) {
	var total unit.Amount
	for _, r := range rows {
		total += r.Amount
	}
	o.BalanceVolPct = volPct(max(wholeBlend-total, 0))
	if f := sumFinding(total, stated, o.Balance, c.settings.SumLimitVolPct); f != nil {
		c.rule(f.Subject, *f)
	}
}

const wholeBlend unit.Amount = 1_000_000_000

func volPct(a unit.Amount) float64 { return a.Fraction() * 100 }

// sumFinding stops a blend that does not add up to the whole (R5d). stated is the figure of the balance, 0 where it has none.
func sumFinding(total, stated unit.Amount, balance string, limitVolPct float64) *problem.Finding {
	f := problem.Finding{Rule: "R5d", Severity: problem.Stop, Subject: "components", Advice: "check each amount and its unit"}
	sum := total + stated
	off := max(volPct(sum-wholeBlend), volPct(wholeBlend-sum))
	switch {
	case total > wholeBlend:
		f.Text = fmt.Sprintf("the components make %.6g %%vol together, more than the whole", volPct(total))
	case stated > 0 && off > limitVolPct:
		f.Subject = "balance_amount"
		f.Text = fmt.Sprintf("components and balance make %.6g %%vol together, not 100 %%vol within %g %%vol", volPct(sum), limitVolPct)
	case balance == "" && off > limitVolPct:
		f.Subject = "balance"
		f.Text = fmt.Sprintf("the components make %.6g %%vol together and there is no balance gas for the rest", volPct(total))
		f.Advice = "choose the balance gas, such as N2 or air, or check each amount and its unit"
	default:
		return nil
	}
	return &f
}

var blendForm = []FormField{
	codeField,
	nameField,
	{Name: "balance", Label: "Balance gas", Hint: "It takes what the components leave.", Kind: Select, Choices: "component"},
	{Name: "balance_amount", Label: "Balance amount", Hint: "Only where the order states it. Empty: the remainder.", Kind: Quantity, Units: volPctUnits},
	{Name: "components", Label: "Components", Kind: Rows, One: "Component", Rows: []FormField{
		{Name: "component", Label: "Component", Kind: Select, Choices: "component", Required: true},
		{Name: "amount", Label: "Amount", Hint: "The nominal one.", Kind: Quantity, Units: amountUnits, Required: true},
		{Name: "tolerance", Label: "Tolerance", Hint: "Plus or minus. Empty: as for the component or the site.", Kind: Quantity, Units: amountUnits},
	}},
	{Name: "reasons.R5d", Label: "Reason for a doubtful mixture", Hint: "What the supplier says of its stability.", Kind: Text},
	noteField,
}
