// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package files

import (
	"bytes"
	"encoding"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/unit"
)

// fileFlags are the flags that name a file, in the words of every program.
var fileFlags = map[string]string{
	"box":      "`file` that describes the box (JSON)",
	"meter":    "`file` that describes the meter (JSON)",
	"readings": "`file` of readings (CSV)",
	"record": "`file` with the calibration record of the box, or the table of a certificate " +
		"(JSON)",
	"earlier": "`file` with an earlier calibration record or table of a certificate (JSON); " +
		"may be repeated",
	"parties":     "`file` that names laboratory, persons and customer (JSON)",
	"certificate": "`file` for the digital calibration certificate (XML)",
	"model":       "`file` that holds the model (JSON)",
	"curve":       "`file` with points or coefficients of a sensor (JSON)",
	"materials":   "`file` with materials of your own (JSON)",
}

// A Program is the command line of one program.
type Program struct {
	// Flags are all flags; a program adds its own.
	Flags *flag.FlagSet

	demo    fs.FS // holds folder demo, or is nil
	explain func(io.Writer) error
	calls   []string
	formats []string
	format  string
	out     string
	name    string
}

// New returns the command line of the named program. The files of its demonstration are
// under demo in the folder of that name; demo may be nil. Help shows the calls.
func New(name string, demo fs.FS, calls ...string) *Program {
	p := &Program{Flags: flag.NewFlagSet(name, flag.ContinueOnError), demo: demo, calls: calls,
		name: name}
	p.Flags.SetOutput(io.Discard) // the error says it
	return p
}

// File adds the flag of a file: -box, -meter, -readings, -record, -parties, -certificate,
// -model, -curve or -materials. It returns where the name of the file will be; empty if not given.
func (p *Program) File(name string) *string {
	return p.Flags.String(name, "", usage(name))
}

// Files adds the flag of a file that may be repeated, -earlier.
func (p *Program) Files(name string) *[]string {
	var names fileList
	p.Flags.Var(&names, name, usage(name))
	return (*[]string)(&names)
}

// fileList is the value of a flag that may be repeated.
type fileList []string

func (l *fileList) String() string { return strings.Join(*l, " ") }

func (l *fileList) Set(file string) error {
	*l = append(*l, file)
	return nil
}

func usage(name string) string {
	text, ok := fileFlags[name]
	if !ok {
		panic("files: no flag -" + name) // a mistake of the program, not of its user
	}
	return text
}

// Formats adds the flags -format, with the first of the names as its default, and -out.
func (p *Program) Formats(names ...string) {
	p.formats = names
	p.Flags.StringVar(&p.format, "format", "", "`form` of the output: "+strings.Join(names,
		", ")+" (default "+names[0]+")")
	p.Flags.StringVar(&p.out, "out", "", "`folder` to write to, in every form unless -format "+
		"names one (none: the terminal)")
}

// Rows adds the flag -rows, how many rows of a budget are written as text.
func (p *Program) Rows() *int {
	return p.Flags.Int("rows", 12, "`number` of rows of a budget that are shown as text, those of "+
		"the largest shares; 0: all")
}

// Quantity adds a flag that takes a number with its unit, such as "10 kΩ"; a number
// without a unit is in the unit bare. The value that v has is the default.
func (p *Program) Quantity(v *float64, name, usage string, dimension unit.Dimension, bare string) {
	p.Flags.Var(quantity{v, dimension, bare}, name, usage)
}

// Word adds a flag that takes a word of an enumeration, such as "highest dials". The value that
// v has is the default.
func (p *Program) Word(v textValue, name, usage string) { p.Flags.Var(word{v}, name, usage) }

type textValue interface {
	encoding.TextUnmarshaler
	fmt.Stringer
}

// A word is like the value of flag.TextVar, but its error names no function: a person reads it.
type word struct{ value textValue }

func (w word) String() string { // of the default
	if w.value == nil {
		return ""
	}
	return w.value.String()
}

func (w word) Set(text string) error { return unit.Cause(w.value.UnmarshalText([]byte(text))) }

type quantity struct {
	value     *float64
	dimension unit.Dimension
	bare      string
}

func (q quantity) String() string { // of the default
	if q.value == nil || *q.value == 0 {
		return ""
	}
	return unit.Format(*q.value, q.dimension)
}

func (q quantity) Set(text string) error {
	v, err := unit.Parse(text+q.bare, q.dimension) // "10", "10k"
	if err != nil || q.bare == "" {
		v, err = unit.Parse(text, q.dimension)
	}
	*q.value = v
	return unit.Cause(err) // a person reads it: no function is named
}

// Parse reads the arguments. It reports whether the program is to run: not after -h,
// which writes the help to out, and not after an error.
func (p *Program) Parse(arguments []string, out io.Writer) (run bool, err error) {
	err = p.Flags.Parse(arguments)
	if errors.Is(err, flag.ErrHelp) {
		return false, p.help(out)
	}
	if err != nil {
		return false, fmt.Errorf("%w; %s -h lists the flags", err, p.name)
	}
	if p.Flags.NArg() > 0 {
		return false, fmt.Errorf("argument %q; expected flags only, %s -h lists them",
			p.Flags.Arg(0), p.name)
	}
	p.format = strings.ToLower(p.format)
	if p.format != "" && !slices.Contains(p.formats, p.format) {
		return false, fmt.Errorf("-format %q; expected one of %s", p.format,
			strings.Join(p.formats, ", "))
	}
	return true, nil
}

// Explain adds text to the end of the help.
func (p *Program) Explain(write func(io.Writer) error) { p.explain = write }

func (p *Program) help(out io.Writer) error {
	var text bytes.Buffer
	for _, call := range p.calls {
		fmt.Fprintf(&text, "%s\n", call)
	}
	fmt.Fprintln(&text)
	p.Flags.SetOutput(&text)
	p.Flags.PrintDefaults()
	if p.explain != nil {
		if err := p.explain(&text); err != nil {
			return err
		}
	}
	_, err := text.WriteTo(out)
	return err
}

// Given reports whether the flag was given.
func (p *Program) Given(name string) (given bool) {
	p.Flags.Visit(func(f *flag.Flag) { given = given || f.Name == name })
	return given
}

// All reports whether all of the files were given, and not whether none was; some without
// the others are an error, for a demonstration must not be mixed with a box of one's own.
func (p *Program) All(names ...string) (all bool, err error) {
	var given []string
	for _, name := range names {
		if p.Given(name) {
			given = append(given, "-"+name)
		}
	}
	if n := len(given); n > 0 && n < len(names) {
		return false, fmt.Errorf("%s alone; expected -%s together, or none for the demonstration",
			strings.Join(given, " and "), strings.Join(names, ", -"))
	}
	return len(given) > 0, nil
}

// Open reads a file with read; an empty name stands for a file of the demonstration. An
// error names the file.
func Open[T any](p *Program, name, demonstration string,
	read func(io.Reader) (T, error)) (T, error) {
	var none T
	shown := name
	open := func() (fs.File, error) { return os.Open(name) }
	if name == "" {
		shown = path.Join("demo", demonstration) // slashes also on Windows: an embedded folder
		open = func() (fs.File, error) { return p.demo.Open(shown) }
	}
	f, err := open()
	if err != nil {
		return none, err
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return none, fmt.Errorf("%s: a folder; expected a file", shown)
	}
	v, err := read(f)
	if err != nil {
		return none, &refusal{file: shown, note: p.mistaken(name), err: err}
	}
	return v, nil
}

// OpenBox reads a box and, if a record is named, gives it the measured values; the table of a
// certificate on paper does too.
func OpenBox(p *Program, box, record string) (*decade.Box, error) {
	b, err := Open(p, box, "box.json", decade.ReadBox)
	if err != nil || record == "" {
		return b, err
	}
	records, err := OpenEarlier(p, []string{record}, b)
	if err != nil {
		return nil, err
	}
	return b.With(records[0])
}

// A Form is one way to write a result.
type Form struct {
	// Format is one of the names given to [Program.Formats].
	Format string
	// Write writes the result.
	Write func(io.Writer) error
}

// JSON is the form that encodes v.
func JSON(v any) Form {
	return Form{"json", func(w io.Writer) error {
		e := json.NewEncoder(w)
		e.SetEscapeHTML(false)
		e.SetIndent("", "  ")
		return e.Encode(v)
	}}
}

// Ohms is a resistance for people, to a number of digits: what was computed has no end of them.
func Ohms(r float64, digits int) string {
	short, err := strconv.ParseFloat(strconv.FormatFloat(r, 'g', digits, 64), 64)
	if err != nil { // r is not finite
		short = r
	}
	return unit.Format(short, unit.Ohm)
}

// extensions are the endings of file names, where they differ from the format.
var extensions = map[string]string{"text": "txt", "markdown": "md", "latex": "tex"}

// Write writes the result in the form that -format names, the first form if none. With
// -out, a file of the given name in that folder takes it, and out is told which; without
// -format it is written there in every form.
func (p *Program) Write(out io.Writer, name string, forms ...Form) error {
	wanted := forms
	if p.format != "" || p.out == "" {
		i := 0
		if p.format != "" {
			i = slices.IndexFunc(forms, func(f Form) bool { return f.Format == p.format })
		}
		if i < 0 {
			return fmt.Errorf("%s is not written as %s", name, p.format)
		}
		wanted = forms[i : i+1]
	}
	if p.out == "" {
		return wanted[0].Write(out)
	}
	for _, f := range wanted {
		ending, ok := extensions[f.Format]
		if !ok {
			ending = f.Format
		}
		file := filepath.Join(p.out, name+"."+ending)
		if err := Save(file, f.Write); err != nil {
			return err
		}
		if _, err := fmt.Fprintln(out, "written:", file); err != nil {
			return err
		}
	}
	return nil
}

// Save writes a file as a whole or not at all: what was there stays until the new one is
// complete. It makes the folder where there is none.
func Save(name string, write func(io.Writer) error) error {
	folder := filepath.Dir(name)
	if info, err := os.Stat(folder); err == nil && !info.IsDir() {
		return fmt.Errorf("%s: a file; expected a folder to write to", folder)
	}
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return err
	}
	f, err := os.CreateTemp(folder, filepath.Base(name)+".part*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // after the renaming there is none
	if err := errors.Join(write(f), f.Chmod(0o644), f.Close()); err != nil {
		return err
	}
	return os.Rename(f.Name(), name)
}

// Rounded keeps so many significant figures of v: those that a result is worth, and that do
// not depend on the processor. It leaves 0, NaN and infinities as they are.
func Rounded(v float64, figures int) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', figures, 64), 64)
	if err != nil {
		return v
	}
	return r
}
