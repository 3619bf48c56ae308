package handlers

import (
	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/fit"
	"spanroom/internal/gas"
	"spanroom/internal/gs1"
	"spanroom/internal/shelf"
)

// table is every route, on one screen. The deed says who may use it.
func (a *app) table() {
	a.page("GET", "/sign-in", "", a.blankForm(a.signInForm))
	a.page("POST", "/sign-in", "", a.signIn)
	a.page("POST", "/sign-out", auth.Read, a.signOut)

	// catalogue
	a.page("GET", "/catalogue", auth.Read, a.cataloguePages)
	for _, n := range catalogue.Nouns() {
		a.both("GET", "/"+n.Plural, auth.Read, a.listNoun(n))
		a.both("POST", "/"+n.Plural, n.Deed, a.makeNoun(n))
		a.page("GET", "/"+n.Plural+"/new", n.Deed, a.blankForm(a.nounForm(n)))
		a.both("GET", "/"+n.Plural+"/:code", auth.Read, a.getNoun(n))
		a.both("POST", "/"+n.Plural+"/:code", n.Deed, a.changeNoun(n))
		a.both("GET", "/"+n.Plural+"/:code/versions", auth.Read, a.historyOf(n))
	}
	a.both("GET", "/settings", auth.Read, a.getNoun(catalogue.SettingsNoun()))
	a.both("POST", "/settings", auth.EditSettings, a.changeNoun(catalogue.SettingsNoun()))
	a.both("GET", "/settings/versions", auth.Read, a.historyOf(catalogue.SettingsNoun()))

	// front page
	a.both("GET", "/", auth.Read, a.desk)
	a.both("POST", "/tasks/:id/done", auth.FinishTask, a.finishTask)
	a.both("GET", "/due", auth.Read, a.due)
	a.both("GET", "/reasons", auth.Read, a.reasons)

	// cylinders
	a.both("GET", "/cylinders", auth.Read, a.cylinders)
	a.both("GET", "/scan", auth.Read, a.scan)
	a.both("GET", "/cylinders/:tag", auth.Read, a.cylinder)
	a.both("POST", "/cylinders/:tag/move", auth.Move, a.move)
	a.both("POST", "/cylinders/:tag/reading", auth.TakeReading, a.reading)
	a.both("POST", "/cylinders/:tag/label", auth.PrintLabel, a.printLabel)
	a.both("GET", "/holds", auth.Read, a.holds)
	a.both("POST", "/holds", auth.Hold, a.hold)
	a.both("POST", "/holds/:id/release", auth.Release, a.release)
	a.both("GET", "/ledger", auth.Read, a.ledger)

	// goods in
	a.both("GET", "/receipts", auth.Read, a.receipts)
	a.both("POST", "/receipts", auth.Receive, a.receive)
	a.page("GET", "/receipts/new", auth.Receive, a.blankForm(a.receiveForm))
	a.both("GET", "/receipts/:id", auth.Read, a.receipt)
	a.page("GET", "/receipts/:id/labels", auth.Read, a.labels)
	a.both("GET", "/lots/:id", auth.Read, a.lot)
	a.both("POST", "/lots/:id/certificate", auth.FileCertificate, a.fileCertificate)
	a.both("GET", "/files/:sha256", auth.Read, a.file)

	// take, in use, bring back
	a.both("GET", "/checkouts", auth.Read, a.checkouts)
	a.api("POST", "/checkouts/recommend", auth.Read, a.recommend)
	a.page("GET", "/checkouts/new", auth.Take, a.take)
	a.both("POST", "/checkouts", auth.Take, a.checkOut)
	a.both("GET", "/checkouts/:id", auth.Read, a.checkout)
	a.both("POST", "/checkouts/:id/tests", auth.LogTests, a.logTests)
	a.page("GET", "/checkouts/:id/return", auth.Return, a.blankForm(a.checkoutForm("bring_back")))
	a.both("POST", "/checkouts/:id/return", auth.Return, a.bringBack)

	a.both("GET", "/check", auth.Read, a.check)
	a.both("GET", "/equipment", auth.Read, a.equipment)

	// consumables
	a.both("GET", "/consumables", auth.Read, a.consumables)
	a.page("GET", "/issues/new", auth.Issue, a.blankForm(a.issueForm))
	a.both("POST", "/issues", auth.Issue, a.issue)

	// orders
	a.both("GET", "/reorder", auth.Read, a.reorder)
	a.both("GET", "/reorder.xlsx", auth.Read, a.reorderWorkbook)

	// calculators
	a.page("GET", "/calculators", auth.Read, a.calculators)
	a.api("POST", "/calc/z", auth.Read, calculator(gas.CalcZ))
	a.api("POST", "/calc/contents", auth.Read, calculator(gas.CalcContents))
	a.api("POST", "/calc/tests-left", auth.Read, calculator(gas.CalcTestsLeft))
	a.api("POST", "/calc/condensation", auth.Read, calculator(gas.CalcCondensation))
	a.api("POST", "/calc/lel", auth.Read, calculator(gas.CalcLEL))
	a.api("POST", "/calc/lfl", auth.Read, calculator(gas.CalcLFL))
	a.api("POST", "/calc/expiry", auth.Read, calculator(shelf.CalcExpiry))
	a.api("POST", "/calc/fit", auth.Read, calculator(fit.CalcFit))
	a.api("POST", "/calc/scan", auth.Read, calculator(gs1.CalcScan))
	a.api("POST", "/calc/gs1", auth.Read, calculator(gs1.CalcValues))
}
