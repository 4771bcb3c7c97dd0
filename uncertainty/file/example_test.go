// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package file_test

import (
	"errors"
	"fmt"
	"strings"

	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// A resistor file is read key by key.
func ExampleRead() {
	o, err := file.Read("lab.ReadResistor", strings.NewReader(`{"name": "R1", "value": "10.1 kΩ"}`), 1<<20)
	if err != nil {
		fmt.Println(err)
		return
	}
	var name string
	var ohms float64
	o.Text("name", &name)
	o.Require("value")
	o.Quantity("value", unit.Ohm, &ohms)
	fmt.Println(name, ohms, o.Close())
	// Output: R1 10100 <nil>
}

// resistor reads a resistor and returns the error.
func resistor(text string) error {
	o, err := file.Read("lab.ReadResistor", strings.NewReader(text), 1<<20)
	if err != nil {
		return err
	}
	var ohms float64
	o.Require("value")
	o.Quantity("value", unit.Ohm, &ohms)
	return o.Close()
}

// The misspelled key is named, not the required one that it stands for.
func ExampleObject_Require() {
	fmt.Println(resistor("{\n  \"valeu\": \"10 kΩ\"\n}"))
	fmt.Println(resistor("{}"))
	// Output:
	// lab.ReadResistor: line 2, column 3: valeu: unknown key "valeu"; did you mean "value"?
	// lab.ReadResistor: line 1, column 1: value: missing; expected a value
}

func ExampleObject_Close() {
	fmt.Println(resistor(`{"value": "10,1 kΩ"}`))
	// Output: lab.ReadResistor: line 1, column 11: value: "10,1 kΩ": a decimal comma; expected a decimal point: "10.1 kΩ"
}

// open opens an object of the examples.
func open(text string) *file.Object {
	o, err := file.Read("lab.Read", strings.NewReader(text), 1<<20)
	if err != nil {
		panic(err) // the examples are JSON
	}
	return o
}

func ExampleUnmarshal() {
	_, err := file.Unmarshal("lab.Resistor.UnmarshalJSON", []byte(`[1]`))
	fmt.Println(err)
	// Output: lab.Resistor.UnmarshalJSON: [1]; expected a JSON object
}

func ExampleObject() {
	o := open(`{"box": {"on": true, "dials": 4, "code": [1, 2, 2, 5], "in": [[1], [2]], "band": "5 K"}, "note": "spare"}`)
	var on bool
	var dials int
	var code []int
	var in [][]int
	var band *float64
	box := o.Object("box")
	box.Bool("on", &on)
	box.Whole("dials", &dials)
	box.Wholes("code", &code)
	box.WholeLists("in", &in)
	box.Optional("band", unit.Kelvin, &band)
	fmt.Println(box.Field(), on, dials, code, in, *band, o.Has("note"), o.IsText("note"))
	// Output: box true 4 [1 2 2 5] [[1] [2]] 5 true true
}

func ExampleObject_Bool() {
	var on bool
	fmt.Println(open(`{"on": true}`).Bool("on", &on), on)
	// Output: true true
}

func ExampleObject_Field() {
	fmt.Println(open(`{"box": {}}`).Object("box").Field())
	// Output: box
}

func ExampleObject_Has() {
	fmt.Println(open(`{"box": {}}`).Has("box"))
	// Output: true
}

func ExampleObject_IsText() {
	fmt.Println(open(`{"step": 1}`).IsText("step"))
	// Output: false
}

func ExampleObject_Object() {
	fmt.Println(open(`{"box": {"serial": "17"}}`).Object("box").Has("serial"))
	// Output: true
}

func ExampleObject_Objects() {
	for _, part := range open(`{"decades": [{"step": "1 kΩ"}, {"step": 100}]}`).Objects("decades", 16) {
		var step float64
		part.Quantity("step", unit.Ohm, &step)
		fmt.Println(part.Field(), step)
	}
	// Output:
	// decades[0] 1000
	// decades[1] 100
}

func ExampleObject_Optional() {
	var t *float64
	open(`{"temperature": "23 °C"}`).Optional("temperature", unit.Celsius, &t)
	fmt.Println(*t)
	// Output: 23
}

func ExampleObject_Quantity() {
	var u float64
	open(`{"tolerance": "0.05 %"}`).Quantity("tolerance", unit.Fraction, &u)
	fmt.Println(u)
	// Output: 0.0005
}

func ExampleObject_Text() {
	var name string
	open(`{"name": "bench box"}`).Text("name", &name)
	fmt.Println(name)
	// Output: bench box
}

func ExampleObject_Whole() {
	var n int
	open(`{"positions": 10}`).Whole("positions", &n)
	fmt.Println(n)
	// Output: 10
}

func ExampleObject_Texts() {
	var list []string
	open(`{"otherNames": ["Cu-Mn-Ni", "spool 3"]}`).Texts("otherNames", &list)
	fmt.Println(len(list), list)
	// Output: 2 [Cu-Mn-Ni spool 3]
}

// A figure is a number, or an object with its range and source.
func ExampleObject_IsObject() {
	o := open(`{"density": {"value": 8400}, "alpha": "10 ppm/K"}`)
	fmt.Println(o.IsObject("density"), o.IsObject("alpha"), o.IsObject("beta"))
	// Output: true false false
}

func ExampleObject_Wholes() {
	var list []int
	open(`{"weights": [1, 2, 2, 5]}`).Wholes("weights", &list)
	fmt.Println(list)
	// Output: [1 2 2 5]
}

func ExampleObject_WholeLists() {
	var lists [][]int
	open(`{"inCircuit": [[], [1], [2]]}`).WholeLists("inCircuit", &lists)
	fmt.Println(lists)
	// Output: [[] [1] [2]]
}

// What a reader finds wrong by itself gets the place too.
func ExampleObject_Fail() {
	o := open(`{"positions": 0}`)
	var n int
	if o.Whole("positions", &n) && n < 1 {
		o.Fail("positions", unit.Errorf(unit.ErrDomain, "%d; expected 1 or more", n))
	}
	fmt.Println(o.Close())
	// Output: lab.Read: line 1, column 15: positions: 0; expected 1 or more
}

// A struct with tags is filled as strictly.
func ExampleDecode() {
	var sensor struct {
		Name  string    `json:"name"`
		Ohms  []float64 `json:"ohms"`
		Drift *float64  `json:"drift"`
	}
	fmt.Println(file.Decode("lab.ReadSensor", strings.NewReader(`{"name": "T1", "ohms": [100, 138.5]}`), 1<<20, &sensor), sensor.Ohms)
	fmt.Println(file.Decode("lab.ReadSensor", strings.NewReader(`{"name": "T1", "ohm": [100]}`), 1<<20, &sensor))
	fmt.Println(file.Decode("lab.ReadSensor", strings.NewReader(`{"ohms": [100, "138.5"]}`), 1<<20, &sensor))
	// Output:
	// <nil> [100 138.5]
	// lab.ReadSensor: line 1, column 16: ohm: unknown key "ohm"; did you mean "ohms"?
	// lab.ReadSensor: line 1, column 16: ohms[1]: "138.5"; expected a number
}

// A reader that checks more than the shape says where.
func ExampleDecodePlaces() {
	var list struct {
		Ohms []float64 `json:"ohms"`
	}
	places, err := file.DecodePlaces("lab.ReadSensor", strings.NewReader("{\"ohms\": [100,\n -1]}"), 1<<20, &list)
	for i, r := range list.Ohms {
		if r < 0 && err == nil {
			err = places.Refuse(fmt.Sprintf("ohms[%d]", i), unit.Errorf(unit.ErrDomain, "%v; expected 0 or more", r))
		}
	}
	fmt.Println(err)
	// Output: lab.ReadSensor: line 2, column 2: ohms[1]: -1; expected 0 or more
}

func ExamplePlaces() {
	var box struct {
		Serial string `json:"serial"`
	}
	places, err := file.DecodePlaces("lab.ReadBox", strings.NewReader(`{"serial": "17"}`), 1<<20, &box)
	fmt.Println(box.Serial, places != nil, err)
	// Output: 17 true <nil>
}

func ExamplePlaces_Refuse() {
	var box struct {
		Serial string `json:"serial"`
	}
	places, _ := file.DecodePlaces("lab.ReadBox", strings.NewReader(`{"serial": ""}`), 1<<20, &box)
	fmt.Println(places.Refuse("serial", unit.Errorf(unit.ErrNotStated, "empty; expected that of the plate")))
	// Output: lab.ReadBox: line 1, column 12: serial: empty; expected that of the plate
}

func ExampleDecodePart() {
	var v struct {
		Box string `json:"box"`
	}
	fmt.Println(file.DecodePart("lab.Record.UnmarshalJSON", []byte(`{"box": "a", "box": "b"}`), &v))
	// Output: lab.Record.UnmarshalJSON: box: key "box" twice; expected once
}

// A near spelling, or nothing.
func ExampleNear() {
	metals := []string{"copper", "manganin", "constantan", "tin", "zinc"}
	fmt.Printf("%q %q %q\n", file.Near("Mangannin", metals...), file.Near("cooper", metals...), file.Near("cuni", metals...))
	// Output: "manganin" "copper" ""
}

func ExampleUnknown() {
	err := file.Unknown("material", "cooper", "copper", "manganin")
	fmt.Println(err, errors.Is(err, unit.ErrUnknown))
	fmt.Println(file.Unknown("material", "wood", "copper", "manganin"))
	// Output:
	// unknown material "cooper"; did you mean "copper"? true
	// unknown material "wood"; expected one of copper, manganin
}

type stage uint8

var stages = file.Words[stage]{Type: "lab.Stage", Texts: []string{"not stated", "as found", "as left"}, First: 1}

func (s stage) String() string                   { return stages.String(s) }
func (s stage) MarshalText() ([]byte, error)     { return stages.Marshal(s) }
func (s *stage) UnmarshalText(text []byte) error { return stages.Unmarshal(text, s) }

func ExampleWords() {
	var s stage
	fmt.Println(s.UnmarshalText([]byte("as left")), s)
	fmt.Println(s.UnmarshalText([]byte("as laft")), s)
	// Output:
	// <nil> as left
	// lab.Stage.UnmarshalText: "as laft"; did you mean "as left"? as left
}

func ExampleWords_String() {
	fmt.Println(stages.String(1), stages.String(7))
	// Output: as found Stage(7)
}

func ExampleWords_Has() {
	fmt.Println(stages.Has(2), stages.Has(3))
	// Output: true false
}

func ExampleWords_Marshal() {
	text, err := stages.Marshal(1)
	fmt.Printf("%s %v\n", text, err)
	_, err = stages.Marshal(0)
	fmt.Println(err)
	// Output:
	// as found <nil>
	// lab.Stage.MarshalText: 0; expected 1 to 2
}

func ExampleWords_Unmarshal() {
	var s stage
	fmt.Println(stages.Unmarshal([]byte("not stated"), &s))
	// Output: lab.Stage.UnmarshalText: "not stated"; expected one of as found, as left
}

func ExampleWords_Find() {
	fmt.Println(stages.Find("as found"))
	// Output: as found <nil>
}

func ExampleWords_Read() {
	var s stage
	fmt.Println(stages.Read(open(`{"stage": "as left"}`), "stage", &s), s)
	// Output: true as left
}

// What a program finds in place of a text.
func ExampleForeign() {
	fmt.Println(file.Foreign([]byte("\xff\xfes\x00e\x00")))
	fmt.Println(file.Foreign([]byte("setting,value")))
	// Output:
	// UTF-16 text; expected UTF-8: save the file as UTF-8
	// <nil>
}
