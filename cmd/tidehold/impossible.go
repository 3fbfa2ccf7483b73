package main

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
)

// impossible finds a number in a result that cannot be: NaN, without end, or an amount below
// zero, and says where and what it is. It is empty if there is none. No format can
// say such a number, so that it is a fault of the tool and never an answer.
func impossible(v any) string {
	if at, is := (numbers{}).impossible(reflect.ValueOf(v), ""); is != "" {
		return "result" + at + " came out " + is
	}
	return ""
}

// numbers looks through results; it remembers of each type of struct what JSON shows of it,
// because a large result has many values of few types.
type numbers map[reflect.Type]shown

// shown is what JSON shows of a struct.
type shown struct {
	decimal bool
	fields  []shownField
}

// shownField is a field, its key, and what it adds to the path of what is in it.
type shownField struct {
	index    int
	key, add string
}

// ledgered is a number that is counted, stocked or paid for.
type ledgered interface{ InexactFloat64() float64 }

// impossible looks at a value of a key, and says where in it the number is and what it came
// out as. The path is put together on the way back: hardly any result has such a number.
func (n numbers) impossible(v reflect.Value, key string) (at, is string) {
	switch v.Kind() {
	case reflect.Float64, reflect.Float32:
		switch x := v.Float(); {
		case math.IsNaN(x) || math.IsInf(x, 0):
			return "", "as no number"
		case x < -dust && countsFromZero(key):
			return "", "below zero"
		}
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			return n.impossible(v.Elem(), key)
		}
	case reflect.Struct:
		return n.impossibleField(v, key)
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if at, is = n.impossible(v.Index(i), key); is != "" {
				return fmt.Sprintf("[%d]%s", i, at), is
			}
		}
	case reflect.Map:
		for _, k := range v.MapKeys() {
			if at, is = n.impossible(v.MapIndex(k), fmt.Sprint(k)); is != "" {
				return fmt.Sprintf(".%v%s", k, at), is
			}
		}
	}
	return "", ""
}

// impossibleField is impossible for a struct and its fields.
func (n numbers) impossibleField(v reflect.Value, key string) (at, is string) {
	s := n.of(v.Type())
	if s.decimal && v.Interface().(ledgered).InexactFloat64() < -dust && countsFromZero(key) {
		return "", "below zero"
	}
	for _, f := range s.fields {
		if at, is = n.impossible(v.Field(f.index), f.key); is != "" {
			return f.add + at, is
		}
	}
	return "", ""
}

// of is what JSON shows of a type of struct.
func (n numbers) of(t reflect.Type) shown {
	s, known := n[t]
	if known {
		return s
	}
	s.decimal = t.Implements(reflect.TypeFor[ledgered]())
	for i := range t.NumField() {
		f := t.Field(i)
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		if !f.IsExported() || name == "-" {
			continue
		}
		if name == "" {
			name = f.Name
		}
		add := "." + name
		if f.Anonymous {
			add = ""
		}
		s.fields = append(s.fields, shownField{i, name, add})
	}
	n[t] = s
	return s
}

// dust is what rounding leaves of an amount that is used up.
const dust = 1e-9

// amountUnits end the keys of what there can be none of, but not less than none: volumes,
// masses, durations, lengths, flows, energy, power, and what is dissolved. Temperatures,
// salinity differences and moments are no amounts.
var amountUnits = []string{"_l", "_ml", "_kg", "_g", "_h", "_min", "_cm", "_m2", "_kg_m3", "_kwh", "_w", "_ms_cm", "_dkh", "_kg_m2"}

// goBothWays are the keys that end like amounts and are none: heat that must be taken away
// counts below zero (water to be cooled), and so does how fast a vat warms that cools.
var goBothWays = []string{"heat_kwh", "first_k_per_h"}

// countsFromZero says whether the value of a key of a result is an amount.
func countsFromZero(key string) bool {
	if slices.Contains(goBothWays, key) {
		return false
	}
	if key == "hours" || strings.HasPrefix(key, "hours_") || key == "cost" {
		return true
	}
	return slices.ContainsFunc(amountUnits, func(u string) bool { return strings.HasSuffix(key, u) })
}
