package reorder

import (
	"spanroom/internal/problem"
	"spanroom/internal/unit"
)

// State says in a word what the line asks of the purchaser.
type State string

// The states of a line. ToDecide has priced options and proposes nothing.
const (
	OrderNow State = "order now"
	Later    State = "later"
	ToDecide State = "decide"
	Enough   State = "enough"
)

// Line is the plan of one item.
type Line struct {
	Item, Unit, Supplier, Article string

	OnHand     float64 // without what is held
	Usable     float64 // of that, what is used before it expires
	WillExpire float64 // and what is not
	OnOrder    float64
	Level      float64 // below this usable position an order is due
	Lots       []Outlook
	Held       []Held
	Projection []Point

	State         State
	OrderBy       unit.Date // "" where no order comes into sight
	NeededBy      unit.Date // an order of that day arrives on this one
	RunsOut       unit.Date // when usable stock and open orders are used up; "" beyond the horizon
	Proposed      int       // units to order today
	ProposedPacks int
	Cost          unit.Money
	QMax          *int // what an order of today may be at most by its shelf life; nil where nothing expires
	Fresh         *Fresh
	ExpectedWaste Waste
	Decide        *Decide
	Why           string
	Findings      []problem.Finding
}

// Fresh is what an order of today meets, and what QMax rests on: its life on arrival, the weeks that older stock still takes,
// and how much of a new lot is used before it expires.
type Fresh struct {
	LifeWeeks, OlderWeeks, UsedInTime float64
}

// Waste is gas that is expected to expire unused: the stock on hand with the proposal. What an option wastes stands with the option.
type Waste struct {
	Units float64
	Money unit.Money
}

// Held is stock that comes back when its hold is released.
type Held struct {
	Hold  string
	Units float64
	Text  string
}

// Decide is a question that only a person can settle, with its priced ways out.
type Decide struct {
	Why     string
	Options []Option
}

// Option is one way out of a Decide line. Quantity is what would be ordered for this store, Waste what would expire of it.
type Option struct {
	Key        string // moq, split, smaller, share, without or other
	Supplier   string
	Text       string
	Quantity   int
	Cost       unit.Money
	Waste      unit.Money
	WasteUnits float64
}
