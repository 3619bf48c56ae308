package catalogue

import (
	"cmp"

	"spanroom/internal/fit"
	"spanroom/internal/unit"
)

// Fit is the regulator as the gas and fittings check takes it, without what check-outs say: its last gas and how often it was used.
func (o Regulator) Fit() fit.Regulator {
	r := fit.Regulator{
		Code: o.Code, Inlet: fit.Outlet(cmp.Or(o.InletListed, o.Inlet)), MaxBar: o.MaxPressureBar, Absolute: o.RatingAbsolute, Demand: o.Mode == DemandFlow,
		Flow: kept(o.Flow, unit.ParseFlow), Vented: o.Vented, Body: o.Body, Upkeep: upkeep(o.OutOfService, o.CheckDueOn, o.DueAfterUses),
	}
	if a := o.Adapter; a != nil {
		r.Adapter = &fit.Adapter{From: fit.Outlet(a.From), To: fit.Outlet(a.To), MaxBar: kept(a.MaxPressure, unit.ParsePressure).Bar()}
	}
	return r
}

// Fit is the tubing, likewise.
func (o Tubing) Fit() fit.Tubing {
	return fit.Tubing{Code: o.Code, Material: o.Material, Length: kept(o.Length, unit.ParseLength), Upkeep: upkeep(o.OutOfService, o.CheckDueOn, o.DueAfterUses)}
}

// Fit is the cap, likewise.
func (o Cap) Fit() fit.Cap {
	return fit.Cap{Code: o.Code, Models: o.Models, Upkeep: upkeep(o.OutOfService, o.CheckDueOn, o.DueAfterUses)}
}

func upkeep(outOfService bool, due unit.Date, afterUses *int64) fit.Upkeep {
	u := fit.Upkeep{OutOfService: outOfService, DueOn: due}
	if afterUses != nil {
		u.DueAfterUses = *afterUses
	}
	return u
}
