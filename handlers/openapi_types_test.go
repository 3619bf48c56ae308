package handlers

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"spanroom/internal/auth"
	"spanroom/internal/catalogue"
	"spanroom/internal/fit"
	"spanroom/internal/gas"
	"spanroom/internal/gs1"
	"spanroom/internal/problem"
	"spanroom/internal/purchase"
	"spanroom/internal/reorder"
	"spanroom/internal/shelf"
	"spanroom/internal/stock"
)

// orders are the types that the border reads, by the name of their schema; parts of orders that are answered too are here.
var orders = map[string]any{
	"ComponentOrder": catalogue.Component{}, "BlendOrder": catalogue.Blend{}, "BlendPart": catalogue.BlendPart{}, "SupplierOrder": catalogue.Supplier{},
	"PlaceOrder": catalogue.Place{}, "ItemOrder": catalogue.Item{}, "ItemSource": catalogue.Source{}, "RegulatorOrder": catalogue.Regulator{},
	"TubingOrder": catalogue.Tubing{}, "ProcedureOrder": catalogue.Procedure{}, "ModelOrder": catalogue.Model{}, "Channel": catalogue.Channel{},
	"Adapter": catalogue.Adapter{}, "CapOrder": catalogue.Cap{}, "Consumable": catalogue.Consumable{}, "CrossSensitivity": catalogue.CrossSensitivity{},
	"SetValue": catalogue.SetValue{}, "InstrumentOrder": catalogue.Instrument{}, "Schedule": catalogue.Schedule{}, "RoundOrder": catalogue.Round{}, "RoundTest": catalogue.RoundTest{},
	"SettingsOrder": catalogue.Settings{}, "Gauge": catalogue.Gauge{},
	"ReceiveOrder": stock.ReceiveOrder{}, "ReceiveCylinder": stock.ReceiveCylinder{}, "ReceiveChecks": stock.ReceiveChecks{},
	"FilingOrder": stock.FilingOrder{}, "CertificateOrder": stock.CertificateOrder{}, "CertifiedValue": stock.ValueOrder{},
	"MoveOrder": stock.MoveOrder{}, "ReadingOrder": stock.ReadingOrder{}, "HoldOrder": stock.HoldOrder{}, "HoldOn": stock.HoldOn{}, "ReleaseOrder": stock.ReleaseOrder{},
	"TakeOrder": stock.TakeOrder{}, "TestCount": stock.TestOrder{}, "CheckOutOrder": stock.CheckOutOrder{}, "TestLogOrder": stock.TestLogOrder{}, "ReturnOrder": stock.ReturnOrder{},
	"IssueOrder": stock.IssueOrder{}, "LabelOrder": stock.LabelOrder{},
	"ZQuestion": gas.ZQuestion{}, "ContentsQuestion": gas.ContentsQuestion{}, "TestsLeftQuestion": gas.TestsLeftQuestion{},
	"CondensationQuestion": gas.CondensationQuestion{}, "LELQuestion": gas.LELQuestion{}, "LFLQuestion": gas.LFLQuestion{}, "ExpiryQuestion": shelf.ExpiryQuestion{},
	"FitQuestion": fit.FitQuestion{}, "FitCylinder": fit.FitCylinder{}, "FitRegulator": fit.FitRegulator{}, "FitAdapter": fit.FitAdapter{}, "FitTubing": fit.FitTubing{},
	"FitInstrument":   fit.FitInstrument{},
	"GS1ScanQuestion": gs1.ScanQuestion{}, "GS1ValuesQuestion": gs1.ValuesQuestion{},
}

// answers are the types that it writes. What they always have is required.
var answers = map[string]any{
	"Problem": details{}, "WrongField": problem.Field{}, "Finding": problem.Finding{},
	"Component": catalogue.Component{}, "Blend": catalogue.Blend{}, "Supplier": catalogue.Supplier{}, "Place": catalogue.Place{}, "Item": catalogue.Item{},
	"Regulator": catalogue.Regulator{}, "Tubing": catalogue.Tubing{}, "Cap": catalogue.Cap{}, "Procedure": catalogue.Procedure{}, "Model": catalogue.Model{},
	"Instrument": catalogue.Instrument{}, "Round": catalogue.Round{}, "Settings": catalogue.Settings{}, "Past": catalogue.Past{}, "Listing": listing{},
	"Desk": deskPage{}, "OrdersDue": ordersDue{}, "Outing": stock.Outing{}, "UseFirst": stock.UseFirst{}, "Waiting": stock.Waiting{}, "TaskAnswer": stock.TaskAnswer{},
	"DueAnswer": stock.DueAnswer{}, "DueRow": stock.DueRow{}, "DueCounts": stock.DueCounts{},
	"ReasonsAnswer": stock.ReasonsAnswer{}, "ReasonRow": stock.ReasonRow{}, "ReasonCount": stock.ReasonCount{},
	"CylindersAnswer": stock.CylindersAnswer{}, "CylinderRow": stock.CylinderRow{}, "ScanAnswer": stock.ScanAnswer{}, "LabelAnswer": stock.LabelAnswer{}, "ScanMeaning": stock.Meaning{}, "ScanLabel": stock.ScanLabel{}, "CylinderAnswer": stock.CylinderAnswer{},
	"Amount": stock.AmountAnswer{}, "Custody": stock.Custody{}, "Cutoff": stock.Cutoff{}, "GovernedBy": stock.GovernedBy{}, "TestsLeft": stock.TestsLeft{},
	"ProcedureName": stock.Procedure{}, "Readiness": stock.Readiness{}, "ReadyFor": stock.ReadyFor{}, "LedgerLine": stock.LedgerLine{}, "MoveAnswer": stock.MoveAnswer{}, "ReadingAnswer": stock.ReadingAnswer{},
	"HoldsAnswer": stock.HoldsAnswer{}, "HoldRow": stock.HoldRow{}, "Hold": stock.HoldAnswer{}, "PlacedHold": stock.PlacedHold{}, "ReleaseAnswer": stock.ReleaseAnswer{},
	"LedgerAnswer": stock.LedgerAnswer{}, "LedgerEntry": stock.LedgerEntry{},
	"LotAnswer": stock.LotAnswer{}, "FiledCertificate": stock.PaperAnswer{}, "FiledValue": stock.PaperValue{}, "File": stock.FileAnswer{}, "FiledAnswer": stock.FiledAnswer{},
	"ReceiptAnswer": stock.ReceiptAnswer{}, "FleetAnswer": stock.FleetAnswer{}, "ReceiptLot": stock.ReceiptLot{}, "ReceiptCylinder": stock.ReceiptCylinder{}, "ReceiptsAnswer": stock.ReceiptsAnswer{}, "ReceiptRow": stock.ReceiptRow{},
	"Recommendation": stock.Recommendation{}, "Need": stock.NeedAnswer{}, "Margin": stock.MarginAnswer{}, "Pick": stock.Pick{}, "Kit": stock.Kit{}, "KitPart": stock.KitPart{},
	"PassedOver": stock.PassedOver{}, "Pair": stock.Pair{}, "PairPart": stock.PairPart{}, "CheckOutAnswer": stock.CheckOutAnswer{},
	"TestLogAnswer": stock.TestLogAnswer{}, "Test": stock.TestAnswer{}, "Progress": stock.Progress{}, "ReturnAnswer": stock.ReturnAnswer{},
	"Checkouts": stock.CheckoutPage{}, "CheckoutRow": stock.CheckoutRow{}, "Checkout": stock.Checkout{}, "Reading": stock.Reading{}, "Usable": stock.UsableAnswer{},
	"LastReading": stock.LastReading{}, "UseByDate": stock.UseByDate{}, "Explained": stock.Explained{}, "ExplainedOut": stock.ExplainedOut{}, "ExplainedReturn": stock.ExplainedReturn{},
	"Equipment": stock.Equipment{}, "EquipmentRow": stock.EquipmentRow{}, "Consumables": stock.Consumables{}, "ConsumableRow": stock.ConsumableRow{}, "IssueAnswer": stock.IssueAnswer{},
	"Plan": purchase.PlanAnswer{}, "PlanPolicy": purchase.Policy{}, "PlanTotal": purchase.Total{}, "PlanLine": purchase.Line{}, "PlanForecast": purchase.Forecast{},
	"PlanFresh": purchase.Fresh{}, "PlanWaste": purchase.Waste{}, "PlanSource": purchase.Source{}, "PlanDecision": purchase.Decide{}, "PlanOption": purchase.Option{},
	"PlanLot": purchase.Lot{}, "PlanHeld": purchase.Held{}, "PlanPoint": purchase.Point{},
	"ZAnswer": gas.ZAnswer{}, "ContentsAnswer": gas.ContentsAnswer{}, "TestsLeftAnswer": gas.TestsLeftAnswer{}, "CondensationAnswer": gas.CondensationAnswer{},
	"LELAnswer": gas.LELAnswer{}, "LFLAnswer": gas.LFLAnswer{},
	"ExpiryAnswer": shelf.ExpiryAnswer{}, "FitAnswer": fit.FitAnswer{}, "GS1ScanAnswer": gs1.ScanAnswer{}, "GS1Element": gs1.Element{}, "GS1ValuesAnswer": gs1.ValuesAnswer{},
}

func TestSchemasAndTypesHaveTheSameFields(t *testing.T) {
	schemas := theContract(t).doc.Components.Schemas
	for _, name := range slices.Sorted(maps.Keys(schemas)) {
		order, isOrder := orders[name]
		answer, isAnswer := answers[name]
		if !isOrder && !isAnswer {
			if len(flat(schemas[name]).properties) > 0 {
				t.Errorf("%s: no type stands behind it", name)
			}
			continue
		}
		if isOrder {
			answer = order
		}
		for _, difference := range differences(flat(schemas[name]), fieldsOf(reflect.TypeOf(answer), false), isAnswer) {
			t.Errorf("%s: %s", name, difference)
		}
	}
	for _, table := range []map[string]any{orders, answers} {
		for name := range table {
			if schemas[name] == nil {
				t.Errorf("%s is not described", name)
			}
		}
	}
}

// shape is an object's schema with what stands beside a reference put together.
type shape struct {
	properties map[string]*openapi3.SchemaRef
	required   []string
	closed     bool
}

func flat(ref *openapi3.SchemaRef) shape {
	s := shape{properties: maps.Clone(ref.Value.Properties), required: slices.Clone(ref.Value.Required), closed: ref.Value.AdditionalProperties.Has != nil && !*ref.Value.AdditionalProperties.Has}
	for _, part := range ref.Value.AllOf {
		s.required = append(s.required, part.Value.Required...)
	}
	return s
}

// member is one field of a type as JSON has it.
type member struct {
	kind   reflect.Type
	always bool
}

func fieldsOf(t reflect.Type, optional bool) map[string]member {
	fields := map[string]member{}
	for i := range t.NumField() {
		f := t.Field(i)
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case f.Anonymous && name == "" && f.Type.Kind() == reflect.Pointer:
			maps.Copy(fields, fieldsOf(f.Type.Elem(), true))
		case f.Anonymous && name == "":
			maps.Copy(fields, fieldsOf(f.Type, optional))
		case f.IsExported() && name != "-":
			fields[cmp.Or(name, f.Name)] = member{f.Type, !optional && !strings.Contains(options, "omit")}
		}
	}
	return fields
}

// differences tells where a schema and a type are not the same. What an answer always has must be required.
func differences(s shape, fields map[string]member, answer bool) (found []string) {
	if !s.closed {
		found = append(found, "it lets other fields through")
	}
	for _, name := range slices.Sorted(maps.Keys(s.properties)) {
		if _, there := fields[name]; !there {
			found = append(found, name+" is described and no field of the type")
		}
	}
	for _, name := range slices.Sorted(maps.Keys(fields)) {
		property, field := s.properties[name], fields[name]
		if property == nil {
			found = append(found, name+" is not described")
			continue
		}
		want := kindsOf(field.kind)
		if !field.always {
			want = slices.DeleteFunc(want, func(kind string) bool { return kind == "null" }) // it is left out instead
		}
		if !sameKinds(kindsIn(property), want, answer) {
			found = append(found, fmt.Sprintf("%s is described as %v and is %v", name, kindsIn(property), want))
		}
		if required := slices.Contains(s.required, name); answer && required != field.always {
			found = append(found, fmt.Sprintf("%s is required: %v, always there: %v", name, required, field.always))
		}
	}
	return found
}

// sameKinds compares without null for an order, which may leave anything out. A schema without a type fits everything.
func sameKinds(described, kinds []string, answer bool) bool {
	if len(described) == 0 || kinds == nil {
		return true
	}
	if !answer {
		return slices.Contains(described, kinds[0])
	}
	if strings.HasPrefix(kinds[0], "map of ") { // one that nobody made is null
		described = slices.DeleteFunc(described, func(kind string) bool { return kind == "null" })
	}
	return slices.Equal(sorted(described), sorted(kinds))
}

// kindsIn gives the JSON types that a schema lets through; of a list, and of a map, with those of its entries.
func kindsIn(ref *openapi3.SchemaRef) (kinds []string) {
	s := ref.Value
	for _, one := range s.AnyOf {
		kinds = append(kinds, kindsIn(one)...)
	}
	name, isObject := strings.CutPrefix(ref.Ref, "#/components/schemas/")
	for _, kind := range s.Type.Slice() {
		switch {
		case kind == "array" && s.Items == nil:
			kind = "list of "
		case kind == "array":
			kind = "list of " + strings.Join(kindsIn(s.Items), ", ")
		case kind == "object" && s.AdditionalProperties.Schema != nil:
			kind = "map of " + strings.Join(kindsIn(s.AdditionalProperties.Schema), ", ")
		case kind == "object" && isObject:
			kind = typeBehind(name)
		}
		kinds = append(kinds, kind)
	}
	return kinds
}

// typeBehind names the type that a schema describes.
func typeBehind(schema string) string {
	for _, table := range []map[string]any{orders, answers} {
		if value, known := table[schema]; known {
			return reflect.TypeOf(value).String()
		}
	}
	return schema
}

// kindsOf gives the same for a type; nil for one that JSON does not tell apart.
func kindsOf(t reflect.Type) []string {
	switch {
	case t == reflect.TypeFor[json.RawMessage]() || t.Kind() == reflect.Interface:
		return nil
	case t.Implements(reflect.TypeFor[interface{ MarshalText() ([]byte, error) }]()):
		return []string{"string"}
	}
	switch t.Kind() {
	case reflect.Pointer:
		return append(kindsOf(t.Elem()), "null")
	case reflect.Slice:
		return []string{"list of " + strings.Join(kindsOf(t.Elem()), ", ")}
	case reflect.Map:
		return []string{"map of " + strings.Join(kindsOf(t.Elem()), ", ")}
	case reflect.Struct:
		return []string{t.String()}
	case reflect.Float64:
		return []string{"number"}
	case reflect.Bool:
		return []string{"boolean"}
	case reflect.String:
		return []string{"string"}
	}
	return []string{"integer"}
}

// Closed lists of words stand in the code and in the description.
func TestDescribedWordsAreThoseOfTheCode(t *testing.T) {
	kinds := append(texts(slices.Collect(maps.Keys(statuses))), "unknown")
	verdicts := []string{stock.AsExpected, stock.Excess, stock.Short, stock.Unchanged}
	schemas := theContract(t).doc.Components.Schemas
	property := func(schema, name string) *openapi3.SchemaRef { return schemas[schema].Value.Properties[name] }
	for _, test := range []struct {
		name   string
		schema *openapi3.SchemaRef
		words  []string
	}{
		{"Role", schemas["Role"], texts(auth.Roles())},
		{"ProblemKind", schemas["ProblemKind"], kinds},
		{"Severity", schemas["Severity"], texts([]problem.Severity{problem.Stop, problem.Ask, problem.Note})},
		{"Stage", schemas["Stage"], []string{stock.Received, stock.Sealed, stock.Opened, stock.Spent, stock.Gone}},
		{"PressureSource", schemas["PressureSource"], []string{stock.Measured, stock.Computed, stock.Fill, stock.Unknown}},
		{"HoldReason", schemas["HoldReason"], stock.HoldReasons()},
		{"HoldOn.kind", property("HoldOn", "kind"), stock.HoldKinds()},
		{"Purpose", schemas["Purpose"], catalogue.Purposes()},
		{"ItemOrder.kind", property("ItemOrder", "kind"), catalogue.ItemKinds()},
		{"Channel.sensor", property("Channel", "sensor"), append(catalogue.Sensors(), "")},
		{"Channel.factor_reading", property("Channel", "factor_reading"), append(texts(fit.FactorReadings()), "")},
		{"Term", schemas["Term"], texts([]shelf.Term{shelf.Certificate, shelf.Label, shelf.Component, shelf.Opened, shelf.Store, shelf.Unknown})},
		{"Readiness.state", property("Readiness", "state"), []string{stock.Usable, stock.Limited, stock.DoNotUse}},
		{"ReadyFor.state", property("ReadyFor", "state"), []string{stock.Usable, stock.Limited, stock.DoNotUse}},
		{"Test.result", property("Test", "result"), []string{stock.Pass, stock.Fail}},
		{"ReturnAnswer.verdict", property("ReturnAnswer", "verdict"), verdicts},
		{"Verdict", schemas["Verdict"], append(verdicts, "")},
		{"LELQuestion.kind", property("LELQuestion", "kind"), gas.LELKinds()},
		{"LELBasis", schemas["LELBasis"], append(texts(gas.Bases()), "")},
		{"GS1Problem", schemas["GS1Problem"], texts(gs1.Problems())},
		{"ScanKind", schemas["ScanKind"], stock.ScanKinds()},
		{"FitReason", schemas["FitReason"], fit.Reasons()},
		{"DueState", schemas["DueState"], stock.DueStates()},
		{"DueRow.last_result", property("DueRow", "last_result"), []string{stock.Pass, stock.Fail, stock.DoesNotCount, ""}},
		{"ReasonRow.kind", property("ReasonRow", "kind"), []string{stock.ForReason, stock.Overridden, stock.Accepted}},
		{"PlanState", schemas["PlanState"], texts([]reorder.State{reorder.ToDecide, reorder.OrderNow, reorder.Later, reorder.Enough})},
	} {
		if described := texts(test.schema.Value.Enum); !slices.Equal(sorted(described), sorted(test.words)) {
			t.Errorf("%s: %q are described, the code has %q", test.name, described, test.words)
		}
	}
}

func texts[T any](words []T) []string {
	all := make([]string, len(words))
	for i, word := range words {
		all[i] = fmt.Sprint(word)
	}
	return all
}

func sorted(words []string) []string { return slices.Sorted(slices.Values(words)) }
