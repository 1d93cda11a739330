package phrase

import (
	"fmt"
	"reflect"
	"slices"
)

// A command's struct is described by tags: `phrase:"y"` is the field of the slot or of the
// option called y. Fields are found in embedded structs too, and in the variant that the
// entry's Subject holds. What a phrase may leave out is a pointer (nil: left out); an
// option of bare words is a bool; an option of several slots is a pointer to a struct of
// them. A result slot that was left out holds the latest result that fits, so it is no
// pointer.

// binding leads from the names of an entry's slots and options to the fields of its struct.
type binding struct {
	model  reflect.Value // the struct of the entry, its Subject set
	fields map[string][]int
}

// bind reads the tags of a struct. The struct of an entry is given by value.
func bind(model any) (*binding, error) {
	v := reflect.ValueOf(model)
	if model == nil || v.Kind() != reflect.Struct {
		return nil, fmt.Errorf("an entry needs the struct of its command, not %T", model)
	}
	b := &binding{model: v, fields: map[string][]int{}}
	return b, b.read(v.Type(), v, nil)
}

func (b *binding) read(t reflect.Type, v reflect.Value, path []int) error {
	for i := range t.NumField() {
		f := t.Field(i)
		at := append(slices.Clone(path), i)
		name, tagged := f.Tag.Lookup("phrase")
		switch {
		case tagged && b.fields[name] != nil:
			return fmt.Errorf("%s has two fields for %q", b.model.Type(), name)
		case tagged && isGroup(f.Type):
			b.fields[name] = at
			if err := b.read(f.Type.Elem(), reflect.Zero(f.Type.Elem()), at); err != nil {
				return err
			}
		case tagged:
			b.fields[name] = at
		case f.Anonymous:
			if err := b.read(f.Type, v.Field(i), at); err != nil {
				return err
			}
		case f.Type.Kind() == reflect.Interface && !v.Field(i).IsNil():
			if err := b.read(v.Field(i).Elem().Type(), v.Field(i).Elem(), at); err != nil {
				return err
			}
		default:
			return fmt.Errorf("%s.%s is no field of a slot or an option", t, f.Name)
		}
	}
	return nil
}

// isGroup reports whether a field holds the several slots of one option: a struct with tags of its own.
func isGroup(t reflect.Type) bool {
	if t.Kind() != reflect.Pointer || t.Elem().Kind() != reflect.Struct {
		return false
	}
	_, tagged := t.Elem().Field(0).Tag.Lookup("phrase")
	return tagged
}

// Fresh is a new struct of the command, to be filled.
func (b *binding) Fresh() any {
	p := reflect.New(b.model.Type())
	p.Elem().Set(b.model)
	return p.Interface()
}

// Set fills the field of a slot or an option of a command. A pointer gets a value of its own.
func (b *binding) Set(do any, name string, value any) {
	setAt(reflect.ValueOf(do).Elem(), b.fields[name], reflect.ValueOf(value))
}

func setAt(v reflect.Value, path []int, value reflect.Value) {
	switch {
	case v.Kind() == reflect.Interface && len(path) > 0: // a variant: replaced by a changed copy
		variant := reflect.New(v.Elem().Type()).Elem()
		variant.Set(v.Elem())
		setAt(variant, path, value)
		v.Set(variant)
	case v.Kind() == reflect.Pointer && len(path) > 0:
		if v.IsNil() {
			v.Set(reflect.New(v.Type().Elem()))
		}
		setAt(v.Elem(), path, value)
	case len(path) > 0:
		setAt(v.Field(path[0]), path[1:], value)
	case v.Kind() == reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		v.Elem().Set(value)
	default:
		v.Set(value)
	}
}

// Held is what the field of a slot or an option of a command holds; ok is false where it was left out.
func (b *binding) Held(do any, name string) (held any, ok bool) {
	path, known := b.fields[name]
	if !known {
		return nil, false
	}
	v := reflect.ValueOf(do).Elem()
	for _, i := range path {
		if v.Kind() == reflect.Interface || v.Kind() == reflect.Pointer {
			if v = v.Elem(); !v.IsValid() {
				return nil, false
			}
		}
		v = v.Field(i)
	}
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if v.IsNil() {
			return nil, false
		}
		if v.Kind() == reflect.Pointer {
			v = v.Elem()
		}
	case reflect.Bool:
		return v.Bool(), v.Bool()
	}
	return v.Interface(), true
}
