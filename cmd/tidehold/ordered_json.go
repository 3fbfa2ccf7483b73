package main

import (
	"encoding/json"
	"fmt"
)

// object is a JSON object with its keys in order.
type object []member

type member struct {
	key   string
	value any
}

// ordered reads the next JSON value, objects with their keys in order.
func ordered(d *json.Decoder) (any, error) {
	t, err := d.Token()
	if err != nil {
		return nil, err
	}
	switch t {
	case json.Delim('{'):
		o := object{}
		for d.More() {
			key, err := d.Token()
			if err != nil {
				return nil, err
			}
			v, err := ordered(d)
			if err != nil {
				return nil, err
			}
			o = append(o, member{fmt.Sprint(key), v})
		}
		_, err = d.Token()
		return o, err
	case json.Delim('['):
		list := []any{}
		for d.More() {
			v, err := ordered(d)
			if err != nil {
				return nil, err
			}
			list = append(list, v)
		}
		_, err = d.Token()
		return list, err
	}
	return t, nil
}
