// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package exports

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// What the list registers.
var (
	functions = map[string]reflect.Value{}
	types     = map[string]reflect.Type{}
	values    = map[string]reflect.Value{}
	generic   []string
)

// instances stand for generic types and functions; there is one for each.
var instances = map[string]reflect.Type{"file.Words": reflect.TypeFor[file.Words[uint8]]()}

// registered is the variable of the environment that tells the inner run.
const registered = "OHMWRIGHT_EXPORTS"

// Every exported function and method, found in the sources.
func TestEveryExport(t *testing.T) {
	if testing.Short() || os.Getenv(registered) != "" {
		t.Skip("compiles the library with a list of what it exports")
	}
	compiler, err := exec.LookPath("go")
	if err != nil {
		t.Skip("no go command to compile the list")
	}
	root, err := filepath.Abs("../../..")
	if err != nil {
		t.Fatal(err)
	}
	l := list(t, root)
	dir := t.TempDir()
	source, overlay := filepath.Join(dir, "registry_test.go"), filepath.Join(dir, "overlay.json")
	here, err := filepath.Abs("registry_test.go")
	if err != nil {
		t.Fatal(err)
	}
	replace, err := json.Marshal(map[string]map[string]string{"Replace": {here: source}})
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(source, []byte(l.source()), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(overlay, replace, 0o600); err != nil {
		t.Fatal(err)
	}
	c := exec.Command(compiler, "test", "-count=1", "-timeout=30m", "-overlay="+overlay, "-run=^TestCalls$", "-v", ".")
	c.Env = append(os.Environ(), registered+"=1")
	out, err := c.CombinedOutput()
	if err != nil {
		t.Errorf("%v\n%s", err, out)
	} else if uncertaintytest.Long() {
		t.Logf("%s", out)
	}
}

// TestCalls is the inner run.
func TestCalls(t *testing.T) {
	if os.Getenv(registered) == "" {
		t.Skip("runs as a part of TestEveryExport")
	}
	for _, name := range generic {
		if _, ok := instances[name]; !ok {
			t.Errorf("%s is generic: expected one instance of it in this file", name)
		}
	}
	// Without a limit of time for a function the walk is the same on every machine: each value
	// that a call returns may be an argument of a later one.
	rounds, budget := 100, time.Duration(math.MaxInt64)
	if uncertaintytest.Whole() {
		// What takes long is tried less often.
		rounds, budget = 3000, 3*time.Second
	}
	seed := uint64(1)
	if s := os.Getenv(registered + "_SEED"); s != "" {
		n, err := strconv.ParseUint(s, 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		seed = n
	}
	files, _ := filepath.Glob("../../formats/files/*")
	w := walker{T: t, g: newGenerator(seed, files...), seen: map[string]int{}}
	for _, name := range slices.Sorted(maps.Keys(values)) {
		w.g.keep(values[name])
	}
	seeds(w.g)
	calls := w.all()
	w.g.whole = results(calls)
	start := time.Now()
	for round := range rounds {
		for i := range calls {
			if c := &calls[i]; !c.hung && c.spent < budget {
				start := time.Now()
				w.call(c, round)
				c.spent += time.Since(start)
				c.tried++
			}
		}
	}
	made := 0
	for _, c := range calls {
		made += c.tried
	}
	t.Logf("%d functions and methods, %d calls in %.0f s", len(calls), made, time.Since(start).Seconds())
	slices.SortFunc(calls, func(a, b call) int { return cmp.Compare(b.spent, a.spent) })
	for _, c := range calls[:10] {
		t.Logf("%6.2f s for %d calls of %s", c.spent.Seconds(), c.tried, c.name)
	}
	if len(calls) < 500 {
		t.Errorf("%d functions and methods; the list of exports is not what it was", len(calls))
	}
}

// call is a function, or a method with the receiver as first argument.
type call struct {
	name string
	f    reflect.Value
	hung bool

	spent time.Duration
	tried int
}

// results are the types whose fields only functions of the library fill: a result that was
// altered by hand is its owner's.
func results(calls []call) map[reflect.Type]bool {
	out := map[reflect.Type]bool{}
	for _, c := range calls {
		for t := range c.f.Type().Outs() {
			if t.Kind() == reflect.Pointer && t.Elem().Kind() == reflect.Struct {
				parts(t.Elem(), out)
			}
		}
	}
	return out
}

// parts adds a result and what it is made of that has something to hide.
func parts(t reflect.Type, out map[reflect.Type]bool) {
	out[t] = true
	for field := range t.Fields() {
		f := field.Type
		for f.Kind() == reflect.Slice || f.Kind() == reflect.Pointer {
			f = f.Elem()
		}
		if f.Kind() == reflect.Struct && !out[f] && hides(f) {
			parts(f, out)
		}
	}
}

func hides(t reflect.Type) bool {
	for field := range t.Fields() {
		if !field.IsExported() {
			return true
		}
	}
	return false
}

type walker struct {
	*testing.T
	g    *generator
	seen map[string]int // findings by kind
}

// all are the functions, and the methods of all types and of pointers to them.
func (w *walker) all() []call {
	var out []call
	for _, name := range slices.Sorted(maps.Keys(functions)) {
		out = append(out, call{name: name, f: functions[name]})
	}
	all := maps.Clone(types)
	maps.Copy(all, instances)
	for _, name := range slices.Sorted(maps.Keys(all)) {
		t := all[name]
		if t.Kind() == reflect.Interface {
			continue
		}
		p := reflect.PointerTo(t)
		for m := range p.Methods() {
			if v, ok := t.MethodByName(m.Name); ok {
				m = v
			}
			out = append(out, call{name: name + "." + m.Name, f: m.Func})
		}
	}
	return out
}

// most is how long a call may take.
const most = 10 * time.Second

// call tries one set of arguments.
func (w *walker) call(c *call, round int) {
	t := c.f.Type()
	args := make([]reflect.Value, t.NumIn())
	for i := range args {
		switch {
		case t.In(i) != writerType && (round == 0 || w.g.r.IntN(30) == 0):
			args[i] = reflect.Zero(t.In(i))
		default:
			args[i] = w.g.value(t.In(i), 0)
		}
	}
	if strings.HasSuffix(c.name, ".Format") && t.NumIn() == 3 {
		verb := pick(w.g, []string{"%v", "%s", "%f", "%.3g", "%+v", "%d", "%30.2f", "%x", "%q"})
		receiver := args[0]
		c = &call{name: c.name, f: reflect.ValueOf(func() string { return fmt.Sprintf(verb, receiver.Interface()) })}
		args = args[:0]
	}
	finished := make(chan []reflect.Value, 1)
	start := time.Now()
	go func() {
		defer func() {
			if p := recover(); p != nil {
				w.panicked(c, args, p, debug.Stack())
				finished <- nil
			}
		}()
		if t.IsVariadic() && len(args) > 0 {
			finished <- c.f.CallSlice(args)
			return
		}
		finished <- c.f.Call(args)
	}()
	select {
	case out := <-finished:
		if d := time.Since(start); d > most {
			w.finding(c, "slow", args, fmt.Sprintf("took %v", d))
		}
		w.results(c, args, out)
	case <-time.After(2 * most):
		c.hung = true
		w.finding(c, "hang", args, fmt.Sprintf("runs beyond %v", 2*most))
	}
}

// panicked reports the first frame of the library.
func (w *walker) panicked(c *call, args []reflect.Value, p any, stack []byte) {
	where := ""
	after := false
	for line := range strings.Lines(string(stack)) {
		if strings.HasPrefix(line, "panic(") {
			after = true
		}
		if after && strings.HasPrefix(line, "\t") && strings.Contains(line, "ohmwright") ||
			after && strings.Contains(line, "/wt/") {
			where = strings.TrimSpace(line)
			break
		}
	}
	w.finding(c, "panic", args, fmt.Sprintf("%v at %s", p, where))
}

// results looks for NaN, and keeps the values for others.
func (w *walker) results(c *call, args, out []reflect.Value) {
	failed, states := false, false
	for _, v := range out {
		if v.Type() == errorType {
			states = true
			failed = failed || !v.IsNil()
		}
	}
	for _, v := range out {
		if v.Kind() == reflect.Func && !failed && !v.IsNil() && v.Type().CanSeq() {
			w.sequence(c, args, v)
			continue
		}
		if !failed && hasNaN(v, 0) && (states || !anyNot(args)) && !documented[c.name] && !echoes(v, args) {
			w.finding(c, "NaN", args, fmt.Sprintf("returns NaN in %s of %s", place(v, ""), show(v)))
		}
		if !failed && v.CanInterface() {
			w.g.keep(v)
		}
	}
}

// echoes reports whether all that is NaN in a result stands in copies of what was handed over,
// such as a material with a figure that the function does not use.
func echoes(v reflect.Value, args []reflect.Value) bool {
	given := map[string]bool{}
	for _, a := range args {
		structs(a, 0, func(s reflect.Value) { given[fmt.Sprintf("%#v", s)] = true })
	}
	return !find(v, 0, math.IsNaN, func(s reflect.Value) bool { return given[fmt.Sprintf("%#v", s)] })
}

// structs calls visit for the structs in a value that have NaN in them.
func structs(v reflect.Value, depth int, visit func(reflect.Value)) {
	if depth > 6 {
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		if !hasNaN(v, depth) {
			return
		}
		visit(v)
		for _, field := range v.Fields() {
			structs(field, depth+1, visit)
		}
	case reflect.Slice, reflect.Array:
		for i := range min(v.Len(), 1000) {
			structs(v.Index(i), depth+1, visit)
		}
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			structs(v.Elem(), depth+1, visit)
		}
	}
}

// sequence walks over a few values.
func (w *walker) sequence(c *call, args []reflect.Value, v reflect.Value) {
	defer func() {
		if p := recover(); p != nil {
			w.panicked(c, args, p, debug.Stack())
		}
	}()
	n := 0
	for x := range v.Seq() {
		w.g.keep(x)
		if n++; n == 100 {
			break
		}
	}
}

// none are fields that are NaN where there is no figure; the list takes those whose comment
// says so.
var none = map[string]bool{}

// documented are functions that return NaN where there is nothing to return. The list takes
// those whose comment says so.
var documented = map[string]bool{
	"uncertainty.Quantity.Estimate": true, // its error is in Err
	"thermal.Law.Alpha":             true, // what it was made of; its Ratio refuses it
	"thermal.Law.Beta":              true,
	"thermal.Law.Limits":            true,
	"thermal.Law.Reference":         true,
	"thermal.Thermometer.R0":        true,
	"material.LawOf":                true,
	"material.New":                  true,
	"thermal.ExactLaw":              true,
	"uncertainty.Output.CDF":        true, // of none without trials
	"uncertainty.Output.Survival":   true,
	"uncertainty.OneWay.Within":     true, // of MeanSquareWithin
}

func hasNaN(v reflect.Value, depth int) bool { return find(v, depth, math.IsNaN, nil) }

// place names the field that is NaN.
func place(v reflect.Value, at string) string {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() && hasNaN(v.Field(i), 0) {
				return place(v.Field(i), at+"."+f.Name)
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if hasNaN(v.Index(i), 0) {
				return place(v.Index(i), fmt.Sprintf("%s[%d]", at, i))
			}
		}
	case reflect.Pointer, reflect.Interface:
		return place(v.Elem(), at)
	}
	return at
}

// find reports whether a number in the exported parts of a value is of a kind, without the structs
// to skip.
func find(v reflect.Value, depth int, is func(float64) bool, skip func(reflect.Value) bool) bool {
	if depth > 6 {
		return false
	}
	switch v.Kind() {
	case reflect.Float64:
		return is(v.Float())
	case reflect.Complex128:
		return is(real(v.Complex())) || is(imag(v.Complex()))
	case reflect.Struct:
		if skip != nil && skip(v) {
			return false
		}
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() && !none[v.Type().String()+"."+f.Name] &&
				find(v.Field(i), depth+1, is, skip) {
				return true
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range min(v.Len(), 1000) {
			if find(v.Index(i), depth+1, is, skip) {
				return true
			}
		}
	case reflect.Pointer, reflect.Interface:
		return !v.IsNil() && find(v.Elem(), depth+1, is, skip)
	}
	return false
}

// anyNot reports whether numbers that are none are among the arguments: where a function
// has no error to return, they may come back.
func anyNot(args []reflect.Value) bool {
	return slices.ContainsFunc(args, func(v reflect.Value) bool {
		return find(v, 0, func(x float64) bool {
			return math.IsNaN(x) || math.Abs(x) > 1e100 ||
				x != 0 && math.Abs(x) < 1e-100
		}, nil)
	})
}

// finding reports the first ones of a kind.
func (w *walker) finding(c *call, kind string, args []reflect.Value, what string) {
	key := c.name + kind
	if w.seen[key]++; w.seen[key] > 2 {
		return
	}
	var list []string
	for _, a := range args {
		list = append(list, show(a))
	}
	w.Errorf("%s: %s(%s): %s", kind, c.name, strings.Join(list, ", "), what)
}

func show(v reflect.Value) (text string) {
	defer func() {
		if recover() != nil {
			text = v.Type().String()
		}
	}()
	if !v.IsValid() {
		return "nothing"
	}
	if v.Kind() == reflect.Pointer && !v.IsNil() && v.Elem().Kind() == reflect.Struct {
		return "&" + show(v.Elem())
	}
	text = fmt.Sprintf("%+v", v)
	if v.Kind() == reflect.Struct {
		var fields []string
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() && !v.Field(i).IsZero() {
				fields = append(fields, f.Name+":"+show(v.Field(i)))
			}
		}
		if len(fields) > 0 || text == "" {
			text = v.Type().String() + "{" + strings.Join(fields, " ") + "}"
		} else {
			text = v.Type().String() + "(" + text + ")"
		}
	}
	if len(text) > 700 {
		text = text[:700] + "…"
	}
	return text
}
