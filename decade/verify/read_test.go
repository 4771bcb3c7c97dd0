// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"errors"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"example.com/ohmwright/decade"
)

// threeDials is a box of 100, 10 and 1 Ω per step.
func threeDials(t testing.TB) *decade.Box {
	t.Helper()
	box, err := decade.New(decade.Spec{Name: "three dials", Decades: []decade.Decade{
		{Name: "100 Ω", Step: 100, Tolerance: 0.001}, {Name: "10 Ω", Step: 10, Tolerance: 0.001}, {Name: "1 Ω", Step: 1, Tolerance: 0.002}}})
	if err != nil {
		t.Fatal(err)
	}
	return box
}

// shown is what a test compares of a reading.
type shown struct {
	Setting, Range, Session, Approach string
	Dialling                          int
	Values, Reversed                  []float64
	Overload                          bool
	Stage                             Stage
	Temperature                       float64
	Line                              int
}

func show(rs []Reading) []shown {
	var out []shown
	for _, r := range rs {
		s := shown{
			Setting: r.Setting.String(), Range: r.Range, Session: r.Session, Approach: r.Approach, Dialling: r.Dialling,
			Values: r.Values, Reversed: r.Reversed, Overload: r.Overload, Stage: r.Stage, Line: r.Line,
		}
		if r.Temperature != nil {
			s.Temperature = *r.Temperature
		}
		out = append(out, s)
	}
	return out
}

// The cells of a table take the units of every other file.
func TestReadUnits(t *testing.T) {
	b := threeDials(t)
	readings, err := ReadReadings(
		strings.NewReader("setting,value (kΩ),temperature\n"+b.Zero().String()+
			",0.1 kOhm,20 degC\n"+b.Zero().String()+",0.1,20 \u2103\n"), b)
	if err != nil || len(readings) != 1 || len(readings[0].Values) != 2 ||
		readings[0].Values[0] != 100 || *readings[0].Temperature != 20 {
		t.Errorf("%+v, %v", readings, err)
	}
	_, err = ReadReadings(strings.NewReader("setting,value (kΩ)\n"+b.Zero().String()+",0.1 Ω\n"), b)
	if !errors.Is(err, ErrContradiction) {
		t.Errorf("Ω under kΩ: %v; want ErrContradiction", err)
	}
	readings, err = ReadReadings(strings.NewReader("setting;value (Ω)\n"+b.Zero().String()+";0,1 kΩ\n"), b)
	if err != nil || readings[0].Values[0] != 100 {
		t.Errorf("kΩ under Ω: %v, %v; want 100 Ω", readings, err)
	}
}

func TestRead(t *testing.T) {
	box := threeDials(t)
	for _, test := range []struct {
		name, text string
		want       []shown
	}{
		{"the least", "setting,value\n1-0-0,100.02\n", []shown{{Setting: "1-0-0", Dialling: 1, Values: []float64{100.02}, Line: 2}}},
		{"byte-order mark, semicolons, decimal comma, kΩ in the head, Windows line ends", "\ufeffSetting;Value (kΩ)\r\n1-0-0;0,10002\r\n",
			[]shown{{Setting: "1-0-0", Dialling: 1, Values: []float64{100.02}, Line: 2}}},
		{"tabs, unit column", "setting\tvalue\tunit\n1-0-0\t100.02\tohm\n1-1-0\t0.11\tkΩ\n",
			[]shown{{Setting: "1-0-0", Dialling: 1, Values: []float64{100.02}, Line: 2}, {Setting: "1-1-0", Dialling: 1, Values: []float64{110}, Line: 3}}},
		{"units in the cells, comments and blank lines", "# bench 3\n\nsetting,value\n0-0-0,12.1 mΩ\n# next\n1-0-0,100.02 Ω\n",
			[]shown{{Setting: "0-0-0", Dialling: 1, Values: []float64{0.0121}, Line: 4}, {Setting: "1-0-0", Dialling: 1, Values: []float64{100.02}, Line: 6}}},
		{"decimal comma in quotes", "setting,value\n1-0-0,\"100,02\"\n", []shown{{Setting: "1-0-0", Dialling: 1, Values: []float64{100.02}, Line: 2}}},
		{"nominal instead of setting", "nominal,value\n0.111 kΩ,111\n5,5.01\n",
			[]shown{{Setting: "1-1-1", Dialling: 1, Values: []float64{111}, Line: 2}, {Setting: "0-0-5", Dialling: 1, Values: []float64{5.01}, Line: 3}}},
		{"rows that follow each other are repeats, later ones were dialled again", "setting,value\n1-0-0,1e2\n1-0-0,100.1\n0-0-0,0\n1-0-0,100.2\n",
			[]shown{{Setting: "1-0-0", Dialling: 1, Values: []float64{100, 100.1}, Line: 2}, {Setting: "0-0-0", Dialling: 1, Values: []float64{0}, Line: 4},
				{Setting: "1-0-0", Dialling: 2, Values: []float64{100.2}, Line: 5}}},
		{"stated diallings", "setting,dialling,value\n1-0-0,1,100\n1-0-0,2,100.1\n1-0-0,1,100.2\n",
			[]shown{{Setting: "1-0-0", Dialling: 1, Values: []float64{100, 100.2}, Line: 2}, {Setting: "1-0-0", Dialling: 2, Values: []float64{100.1}, Line: 3}}},
		{"several value columns, one empty", "setting,value 1,value 2,value 3\n1-0-0,100,,100.2\n",
			[]shown{{Setting: "1-0-0", Dialling: 1, Values: []float64{100, 100.2}, Line: 2}}},
		{"polarity", "setting,polarity,value\n0-0-1,+,1.002\n0-0-1,-,1.000\n",
			[]shown{{Setting: "0-0-1", Dialling: 1, Values: []float64{1.002}, Reversed: []float64{1}, Line: 2}}},
		{"above range", "setting,value\n1-0-0,OL\n2-0-0,9.9E37\n3-0-0,o.l.\n",
			[]shown{{Setting: "1-0-0", Dialling: 1, Overload: true, Line: 2}, {Setting: "2-0-0", Dialling: 1, Overload: true, Line: 3}, {Setting: "3-0-0", Dialling: 1, Overload: true, Line: 4}}},
		{"slightly negative near zero", "setting,value\n0-0-0,-0.0003\n", []shown{{Setting: "0-0-0", Dialling: 1, Values: []float64{-0.0003}, Line: 2}}},
		{"all the rest", "setting,value,range,temperature (°C),session,stage,approach\n1-0-0,100,100 Ω,22.4,monday,as left,up\n1-0-0,100,100 Ω,22.6,monday,as left,up\n",
			[]shown{{Setting: "1-0-0", Dialling: 1, Values: []float64{100, 100}, Range: "100 Ω", Temperature: 22.5, Session: "monday", Stage: StageAsLeft, Approach: "up", Line: 2}}},
		{"two ranges of one dialling are two readings", "setting,range,value\n1-0-0,100 Ω,100.01\n1-0-0,1 kΩ,100.02\n",
			[]shown{{Setting: "1-0-0", Dialling: 1, Values: []float64{100.01}, Range: "100 Ω", Line: 2}, {Setting: "1-0-0", Dialling: 1, Values: []float64{100.02}, Range: "1 kΩ", Line: 3}}},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, err := ReadReadings(strings.NewReader(test.text), box)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(test.want, show(got), cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("-want +got:\n%s", diff)
			}
		})
	}
}

func TestReadTime(t *testing.T) {
	got, err := ReadReadings(strings.NewReader("setting;time;value\n1-0-0;2026-03-01 09:30;100\n"), threeDials(t))
	if err != nil {
		t.Fatal(err)
	}
	if want := time.Date(2026, 3, 1, 9, 30, 0, 0, time.UTC); !got[0].Time.Equal(want) {
		t.Errorf("time %v, want %v", got[0].Time, want)
	}
}

func TestReadRefuses(t *testing.T) {
	box := threeDials(t)
	for _, test := range []struct {
		name, text string
		cause      error
		says       string // part of the message
	}{
		{"empty file", "", ErrEmpty, "empty file"},
		{"only comments", "# nothing\n\n", ErrEmpty, "empty file"},
		{"no readings", "setting,value\n", ErrEmpty, "no line of readings"},
		{"unknown column", "setting,value,colour\n", ErrUnknown, `"colour"`},
		{"no setting", "value\n1\n", ErrUnknown, "none of them setting"},
		{"no value column", "setting\n1-0-0\n", ErrUnknown, "none of them value"},
		{"column twice", "setting,setting,value\n", ErrContradiction, "two columns"},
		{"setting and nominal", "setting,nominal,value\n", ErrContradiction, "expected one of the two"},
		{"position that does not exist", "setting,value\n1-0-11,1\n", nil, "line 2"},
		{"too few dials", "setting,value\n1-0,1\n", nil, "line 2"},
		{"nominal that cannot be set", "nominal,value\n0.5,0.5\n", nil, "line 2"},
		{"unknown unit", "setting,value (furlong)\n1-0-0,1\n", nil, "furlong"},
		{"two units", "setting,unit,value\n1-0-0,kΩ,1 MΩ\n", ErrContradiction, "kΩ and MΩ"},
		{"units of line and head", "setting,value (kΩ),unit\n1-0-0,1,MΩ\n", ErrContradiction, "kΩ and MΩ"},
		{"not a number", "setting,value\n1-0-0,abc\n", nil, "line 2"},
		{"NaN", "setting,value\n1-0-0,NaN\n", nil, "line 2"},
		{"infinite", "setting,value\n1-0-0,1e999\n", nil, "line 2"},
		{"no value", "setting,value\n1-0-0,\n", ErrEmpty, "no value"},
		{"cells missing", "setting,value\n1-0-0\n", ErrSyntax, "1 cells; expected 2"},
		{"decimal comma among commas", "setting,value\n1-0-0,100,02\n", ErrSyntax, "semicolons"},
		{"two decimal marks in a file", "setting;value\n1-0-0;100,02\n1-1-0;110.02\n", ErrContradiction, "line 2 has a decimal"},
		{"thousands", "setting;value\n1-0-0;1.00,5\n", ErrSyntax, "thousands"},
		{"open quote", "setting,value\n1-0-0,\"1\n", ErrSyntax, "line 2"},
		{"kelvin", "setting,value,temperature (K)\n1-0-0,100,293\n", ErrUnknown, "expected °C"},
		{"temperature of words", "setting,value,temperature\n1-0-0,100,warm\n", ErrUnknown, "warm"},
		{"stage", "setting,value,stage\n1-0-0,100,lost\n", ErrUnknown, "as found or as left"},
		{"polarity", "setting,value,polarity\n1-0-0,100,north\n", ErrUnknown, "north"},
		{"approach", "setting,value,approach\n1-0-0,100,sideways\n", ErrUnknown, "sideways"},
		{"dialling 0", "setting,value,dialling\n1-0-0,100,0\n", ErrDomain, "whole number"},
		{"time", "setting,value,time\n1-0-0,100,yesterday\n", ErrSyntax, "yesterday"},
		{"above range and a value", "setting,value\n1-0-0,OL\n1-0-0,100\n", ErrContradiction, "above range and a value"},
		{"two approaches of one dialling", "setting,value,approach\n1-0-0,100,up\n1-0-0,100,down\n", ErrContradiction, "approach"},
		{"half of a character in UTF-16", "\xff\xfes\x00e\x00t\x00\x00\xd8", ErrSyntax, "lost on its way"},
		{"half of a code unit in UTF-16", "\xff\xfes\x00e\x00t", ErrSyntax, "lost on its way"},
		{"not UTF-8", "setting,value (\xd9)\n", ErrSyntax, "UTF-8"},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, err := ReadReadings(strings.NewReader(test.text), box)
			if err == nil {
				t.Fatalf("read %v, want an error", show(got))
			}
			if test.cause != nil && !errors.Is(err, test.cause) {
				t.Errorf("error %q is not %q", err, test.cause)
			}
			if !strings.Contains(err.Error(), test.says) {
				t.Errorf("error %q does not say %q", err, test.says)
			}
		})
	}
	if _, err := ReadReadings(nil, box); !errors.Is(err, ErrEmpty) {
		t.Errorf("nil reader: %v", err)
	}
	if _, err := ReadReadings(strings.NewReader("setting,value\n"), nil); !errors.Is(err, ErrEmpty) {
		t.Errorf("nil box: %v", err)
	}
}

// endless is a line of 100 MB.
type endless struct{ n int }

func (e *endless) Read(p []byte) (int, error) {
	const size = 100 << 20
	if e.n >= size {
		return 0, io.EOF
	}
	for i := range p {
		p[i] = 'x'
	}
	e.n += len(p)
	return len(p), nil
}

func TestReadStopsAtALongLine(t *testing.T) {
	in := &endless{}
	if _, err := ReadReadings(in, threeDials(t)); !errors.Is(err, ErrTooLong) {
		t.Fatalf("error %v, want %v", err, ErrTooLong)
	}
	if in.n > 4<<20 {
		t.Errorf("read %d bytes before stopping", in.n)
	}
}

func FuzzRead(f *testing.F) {
	f.Add("setting,value\n1-0-0,100.02\n")
	f.Add("\ufeffsetting;value (kΩ)\n1-0-0;0,1\n")
	f.Add("nominal,value 1,value 2,unit\n1 kΩ,1,OL,Ω\n")
	f.Add("setting,value,temperature (°C),time,dialling,session,stage,polarity,approach,range\n0-0-0,0,20,2026-01-01,1,a,as left,-,up,x\n")
	f.Add("setting(\u2126),value[\u212a]\n")
	box := threeDials(f)
	f.Fuzz(func(t *testing.T, text string) {
		rs, err := ReadReadings(strings.NewReader(text), box)
		if err != nil {
			return
		}
		for i := range rs {
			if err := rs[i].checkReading(box); err != nil && !errors.Is(err, ErrDomain) {
				t.Errorf("accepted, but %v", err)
			}
		}
	})
}
