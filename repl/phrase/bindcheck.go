package phrase

import (
	"fmt"
	"reflect"
)

// bind ties a compiled entry to the struct of its command: every slot and every option has
// a field of its type. used collects the fields that the entry fills.
func (c *command) bind(used map[reflect.Type]map[string]bool) error {
	b, err := bind(c.entry.Do)
	if err != nil {
		return err
	}
	c.binding = b
	seen := used[b.model.Type()]
	if seen == nil {
		seen = map[string]bool{}
		used[b.model.Type()] = seen
	}
	if err := b.fits(c.nodes, false, seen); err != nil {
		return err
	}
	for _, t := range c.tails {
		if err := b.fitsTail(t, seen); err != nil {
			return err
		}
	}
	return nil
}

// fits holds the slots of a phrase to the fields.
func (b *binding) fits(nodes []node, optional bool, seen map[string]bool) error {
	for _, n := range nodes {
		switch n.kind {
		case slotNode:
			want := slotTypes()[n.slot.kind].gives
			if optional && n.slot.kind != "result" {
				want = leftOut(want)
			}
			if err := b.fitsOne(n.slot.name, want, seen); err != nil {
				return err
			}
		case optionalNode:
			if err := b.fits(n.inner, true, seen); err != nil {
				return err
			}
		}
	}
	return nil
}

// fitsTail holds an option or a clause to the fields.
func (b *binding) fitsTail(t tail, seen map[string]bool) error {
	own, maybe := slotsOf(t.nodes)
	switch {
	case len(own) == 1:
		return b.fitsOne(own[0].name, leftOut(slotTypes()[own[0].kind].gives), seen)
	case len(own) > 1:
		group, ok := b.typeOf(t.option)
		if !ok || !isGroup(group) {
			return fmt.Errorf("%s has no struct for the slots of the option %q", b.model.Type(), t.option)
		}
		seen[t.option] = true
		return b.fits(t.nodes, false, seen)
	}
	for _, s := range maybe {
		if err := b.fitsOne(s.name, leftOut(slotTypes()[s.kind].gives), seen); err != nil {
			return err
		}
	}
	return b.fitsOne(t.option, reflect.TypeFor[bool](), seen)
}

// slotsOf are the slots of a phrase, those that have to be there and those that may be.
func slotsOf(nodes []node) (own, maybe []slot) {
	for _, n := range nodes {
		switch n.kind {
		case slotNode:
			own = append(own, n.slot)
		case optionalNode:
			a, b := slotsOf(n.inner)
			maybe = append(append(maybe, a...), b...)
		}
	}
	return own, maybe
}

// leftOut is the type of a field that may be left out.
func leftOut(t reflect.Type) reflect.Type {
	if t.Kind() == reflect.Interface {
		return t
	}
	return reflect.PointerTo(t)
}

func (b *binding) fitsOne(name string, want reflect.Type, seen map[string]bool) error {
	seen[name] = true
	switch got, ok := b.typeOf(name); {
	case !ok:
		return fmt.Errorf("%s has no field for %q", b.model.Type(), name)
	case got != want:
		return fmt.Errorf("%s has %s for %q; %s is needed", b.model.Type(), got, name, want)
	}
	return nil
}

// unfilled names a field that no phrase of the table fills, or "". The clauses are common
// to many structs; each takes those its entries name.
func (l *Language) unfilled(used map[reflect.Type]map[string]bool) error {
	clause, err := bind(Clauses{})
	if err != nil {
		return err
	}
	clauses := map[reflect.Type]bool{}
	for _, c := range l.commands {
		if len(c.entry.Clauses) > 0 {
			clauses[c.binding.model.Type()] = true
		}
	}
	for _, c := range l.commands {
		t := c.binding.model.Type()
		for name := range c.binding.fields {
			if _, isClause := clause.fields[name]; isClause && clauses[t] {
				continue
			}
			if !used[t][name] {
				return fmt.Errorf("entry %q: no phrase fills the field %q of %s", c.entry.Name, name, t)
			}
		}
	}
	return nil
}
