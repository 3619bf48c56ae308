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
	"spanroom/internal/gas"
	"spanroom/internal/problem"
	"spanroom/internal/purchase"
	"spanroom/internal/shelf"
	"spanroom/internal/stock"
)

// orders are the types that the border reads, by the name of their schema; parts of orders that are answered too are here.
var orders = map[string]any{
	"ComponentOrder": catalogue.Component{}, "BlendOrder": catalogue.Blend{}, "BlendPart": catalogue.BlendPart{}, "SupplierOrder": catalogue.Supplier{},
	"PlaceOrder": catalogue.Place{}, "ItemOrder": catalogue.Item{}, "ItemSource": catalogue.Source{}, "RegulatorOrder": catalogue.Regulator{},
	"TubingOrder": catalogue.Tubing{}, "ProcedureOrder": catalogue.Procedure{}, "ModelOrder": catalogue.Model{}, "Channel": catalogue.Channel{},
	"InstrumentOrder": catalogue.Instrument{}, "Schedule": catalogue.Schedule{}, "RoundOrder": catalogue.Round{}, "RoundTest": catalogue.RoundTest{},
	"SettingsOrder": catalogue.Settings{}, "Gauge": catalogue.Gauge{},
	"ReceiveOrder": stock.ReceiveOrder{}, "ReceiveCylinder": stock.ReceiveCylinder{}, "ReceiveChecks": stock.ReceiveChecks{},
	"CertificateOrder": stock.CertificateOrder{}, "CertifiedValue": stock.ValueOrder{},
	"MoveOrder": stock.MoveOrder{}, "ReadingOrder": stock.ReadingOrder{}, "HoldOrder": stock.HoldOrder{}, "HoldOn": stock.HoldOn{}, "ReleaseOrder": stock.ReleaseOrder{},
	"TakeOrder": stock.TakeOrder{}, "TestCount": stock.TestOrder{}, "CheckOutOrder": stock.CheckOutOrder{}, "TestLogOrder": stock.TestLogOrder{}, "ReturnOrder": stock.ReturnOrder{},
	"IssueOrder": stock.IssueOrder{},
	"ZQuestion": gas.ZQuestion{}, "ContentsQuestion": gas.ContentsQuestion{}, "TestsLeftQuestion": gas.TestsLeftQuestion{},
	"CondensationQuestion": gas.CondensationQuestion{}, "ExpiryQuestion": shelf.ExpiryQuestion{},
}

// answers are the types that it writes. What they always have is required.
var answers = map[string]any{
	"Problem": details{}, "WrongField": problem.Field{}, "Finding": problem.Finding{},
	"Component": catalogue.Component{}, "Blend": catalogue.Blend{}, "Supplier": catalogue.Supplier{}, "Place": catalogue.Place{}, "Item": catalogue.Item{},
	"Regulator": catalogue.Regulator{}, "Tubing": catalogue.Tubing{}, "Procedure": catalogue.Procedure{}, "Model": catalogue.Model{},
	"Instrument": catalogue.Instrument{}, "Round": catalogue.Round{}, "Settings": catalogue.Settings{}, "Past": catalogue.Past{}, "Listing": listing{},
	"Desk": deskPage{}, "OrdersDue": ordersDue{}, "Outing": stock.Outing{}, "UseFirst": stock.UseFirst{}, "Waiting": stock.Waiting{}, "TaskAnswer": stock.TaskAnswer{},
	"CylindersAnswer": stock.CylindersAnswer{}, "CylinderRow": stock.CylinderRow{}, "ScanAnswer": stock.ScanAnswer{}, "CylinderAnswer": stock.CylinderAnswer{},
	"Amount": stock.AmountAnswer{}, "Custody": stock.Custody{}, "Cutoff": stock.Cutoff{}, "GovernedBy": stock.GovernedBy{}, "TestsLeft": stock.TestsLeft{},
	"ProcedureName": stock.Procedure{}, "Readiness": stock.Readiness{}, "LedgerLine": stock.LedgerLine{}, "MoveAnswer": stock.MoveAnswer{}, "ReadingAnswer": stock.ReadingAnswer{},
	"HoldsAnswer": stock.HoldsAnswer{}, "HoldRow": stock.HoldRow{}, "Hold": stock.HoldAnswer{}, "PlacedHold": stock.PlacedHold{}, "ReleaseAnswer": stock.ReleaseAnswer{},
	"LedgerAnswer": stock.LedgerAnswer{}, "LedgerEntry": stock.LedgerEntry{},
	"ReceiptAnswer": stock.ReceiptAnswer{}, "ReceiptLot": stock.ReceiptLot{}, "ReceiptCylinder": stock.ReceiptCylinder{}, "ReceiptsAnswer": stock.ReceiptsAnswer{}, "ReceiptRow": stock.ReceiptRow{},
	"Recommendation": stock.Recommendation{}, "Need": stock.NeedAnswer{}, "Margin": stock.MarginAnswer{}, "Pick": stock.Pick{}, "Kit": stock.Kit{},
	"PassedOver": stock.PassedOver{}, "Pair": stock.Pair{}, "PairPart": stock.PairPart{}, "CheckOutAnswer": stock.CheckOutAnswer{},
	"TestLogAnswer": stock.TestLogAnswer{}, "Test": stock.TestAnswer{}, "Progress": stock.Progress{}, "ReturnAnswer": stock.ReturnAnswer{},
	"Checkouts": stock.CheckoutPage{}, "CheckoutRow": stock.CheckoutRow{}, "Checkout": stock.Checkout{}, "Reading": stock.Reading{}, "Usable": stock.UsableAnswer{},
	"LastReading": stock.LastReading{}, "UseByDate": stock.UseByDate{}, "Explained": stock.Explained{}, "ExplainedOut": stock.ExplainedOut{}, "ExplainedReturn": stock.ExplainedReturn{},
	"Consumables": stock.Consumables{}, "ConsumableRow": stock.ConsumableRow{}, "IssueAnswer": stock.IssueAnswer{},
	"Plan": purchase.PlanAnswer{}, "PlanPolicy": purchase.Policy{}, "PlanTotal": purchase.Total{}, "PlanLine": purchase.Line{}, "PlanForecast": purchase.Forecast{},
	"PlanFresh": purchase.Fresh{}, "PlanWaste": purchase.Waste{}, "PlanSource": purchase.Source{}, "PlanDecision": purchase.Decide{}, "PlanOption": purchase.Option{},
	"PlanLot": purchase.Lot{}, "PlanHeld": purchase.Held{}, "PlanPoint": purchase.Point{},
	"ZAnswer": gas.ZAnswer{}, "ContentsAnswer": gas.ContentsAnswer{}, "TestsLeftAnswer": gas.TestsLeftAnswer{}, "CondensationAnswer": gas.CondensationAnswer{},
	"ExpiryAnswer": shelf.ExpiryAnswer{},
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
	for name := range maps.Keys(orders) {
		if schemas[name] == nil {
			t.Errorf("order %s is not described", name)
		}
	}
	for name := range maps.Keys(answers) {
		if schemas[name] == nil {
			t.Errorf("answer %s is not described", name)
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
		want := kindsOf(field.kind, answer)
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
	return slices.Equal(slices.Sorted(slices.Values(described)), slices.Sorted(slices.Values(kinds)))
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
			kind = name
		}
		kinds = append(kinds, kind)
	}
	return kinds
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
		return []string{schemaOf(t)}
	case reflect.Float64:
		return []string{"number"}
	case reflect.Bool:
		return []string{"boolean"}
	case reflect.String:
		return []string{"string"}
	}
	return []string{"integer"}
}

// schemaOf gives the name of the schema that describes a type.
func schemaOf(t reflect.Type) string {
	for _, table := range []map[string]any{orders, answers} {
		for name, value := range table {
			if reflect.TypeOf(value) == t {
				return name
			}
		}
	}
	return "no schema for " + t.String()
}

// Closed lists of words stand in the code and in the description.
func TestDescribedWordsAreThoseOfTheCode(t *testing.T) {
	roles := make([]string, 0, len(auth.Roles()))
	for _, role := range auth.Roles() {
		roles = append(roles, string(role))
	}
	kinds := []string{"unknown"}
	for kind := range statuses {
		kinds = append(kinds, string(kind))
	}
	schemas := theContract(t).doc.Components.Schemas
	for _, test := range []struct {
		name   string
		schema *openapi3.SchemaRef
		words  []string
	}{
		{"Role", schemas["Role"], roles},
		{"ProblemKind", schemas["ProblemKind"], kinds},
		{"HoldReason", schemas["HoldReason"], stock.HoldReasons()},
		{"HoldOn.kind", schemas["HoldOn"].Value.Properties["kind"], stock.HoldKinds()},
		{"Purpose", schemas["Purpose"], catalogue.Purposes()},
		{"ItemOrder.kind", schemas["ItemOrder"].Value.Properties["kind"], catalogue.ItemKinds()},
	} {
		described := make([]string, 0, len(test.words))
		for _, word := range test.schema.Value.Enum {
			described = append(described, fmt.Sprint(word))
		}
		if !slices.Equal(slices.Sorted(slices.Values(described)), slices.Sorted(slices.Values(test.words))) {
			t.Errorf("%s: %v are described, the code has %v", test.name, described, test.words)
		}
	}
}
