package views

import (
	"fmt"
	"reflect"
	"strings"
)

// fill sets the fields of a part from names and values as a template gives them: fill(&b, "text", "Take it"). A name that
// the part does not have is an error, so that a slip of the pen shows when the page is tested and not as a gap in it.
func fill(part any, pairs []any) error {
	named, err := dict(pairs...)
	if err != nil {
		return err
	}
	target := reflect.ValueOf(part).Elem()
	for name, v := range named {
		field := target.FieldByNameFunc(func(f string) bool { return strings.EqualFold(f, name) })
		if !field.IsValid() || !field.CanSet() {
			return fmt.Errorf("%s takes no %q", target.Type().Name(), name)
		}
		if err := assign(field, v); err != nil {
			return fmt.Errorf("%s: %s: %w", target.Type().Name(), name, err)
		}
	}
	return nil
}

// assign puts a value of whatever named kind into a plain field. Nothing leaves the field as it is.
func assign(field reflect.Value, v any) error {
	r := plain(v)
	switch {
	case !r.IsValid():
		return nil
	case reflect.TypeOf(v).AssignableTo(field.Type()):
		field.Set(reflect.ValueOf(v))
		return nil
	case r.Type().AssignableTo(field.Type()):
		field.Set(r)
		return nil
	case field.Type() == reflect.TypeFor[string](): // and not template.HTML, which takes nothing but itself
		field.SetString(text(v))
		return nil
	}
	switch field.Kind() {
	case reflect.Bool:
		field.SetBool(!r.IsZero())
	case reflect.Int, reflect.Float64:
		return assignNumber(field, v)
	case reflect.Slice:
		return assignList(field, r)
	case reflect.Struct:
		return assignFields(field, r)
	default:
		return fmt.Errorf("cannot take a %s", r.Type())
	}
	return nil
}

func assignNumber(field reflect.Value, v any) error {
	n, ok := number(v)
	if !ok {
		return fmt.Errorf("%q is no number", text(v))
	}
	if field.Kind() == reflect.Float64 {
		field.SetFloat(n)
	} else {
		field.SetInt(int64(n))
	}
	return nil
}

func assignList(field, r reflect.Value) error {
	if field.Type().Elem().Kind() == reflect.String {
		field.Set(reflect.ValueOf(texts(r.Interface())))
		return nil
	}
	if r.Kind() != reflect.Slice {
		return fmt.Errorf("cannot take a %s for a list", r.Type())
	}
	list := reflect.MakeSlice(field.Type(), r.Len(), r.Len())
	for i := range r.Len() {
		if err := assign(list.Index(i), r.Index(i).Interface()); err != nil {
			return err
		}
	}
	field.Set(list)
	return nil
}

// assignFields copies the fields of the same name out of a struct of another room.
func assignFields(field, r reflect.Value) error {
	if r.Kind() != reflect.Struct {
		return fmt.Errorf("cannot take a %s for a %s", r.Type(), field.Type().Name())
	}
	for i := range field.NumField() {
		name := field.Type().Field(i).Name
		theirs := r.FieldByName(name)
		if !theirs.IsValid() {
			return fmt.Errorf("%s has no %s", r.Type(), name)
		}
		if err := assign(field.Field(i), theirs.Interface()); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
	}
	return nil
}
