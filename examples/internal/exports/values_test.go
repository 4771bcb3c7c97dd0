// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package exports

import (
	"bytes"
	"context"
	"errors"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"reflect"
	"strings"
	"time"

	"gonum.org/v1/gonum/mat"
)

// hostile are numbers that formulas like least.
var hostile = []float64{
	0, math.Copysign(0, -1), 1, -1, 0.5, 2, 10, 100, -40, 23, 1e-3, 1e-6, 1e6,
	math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -math.MaxFloat64, math.SmallestNonzeroFloat64,
	1e-300, 1e300, 1e154, -1e154, 1e-154, 1e-50, 1e50, 3e-105, 2e307, 1e18, 1e-18, 1e15, 1 - 1e-16, 1 + 3e-16, -273.15, -300, 1e9,
}

var (
	hostileInts = []int64{0, 1, -1, 2, 3, 5, 10, 17, 100, 1000, math.MaxInt32, math.MinInt32,
		math.MaxInt64, math.MinInt64, 1 << 40}
	hostileTexts = []string{
		"", " ", "0", "1", "NaN", "1e400", "-Inf", "x", "\x00", "\xff\xfe", "Ω", "ohm", "R + 1", "a*b", "((((", "1,5", "20 °C", "100 Ω",
		"1-2-3", "0-0-0", "{", "[]", "null", "{\"name\":1}", "copper", "×100", strings.Repeat("9", 400), strings.Repeat("(", 3000), "a\nb", "0,1\n2,3\n",
	}
)

// generator makes arguments.
type generator struct {
	r     *rand.Rand
	pools map[reflect.Type][]reflect.Value // what functions returned
	whole map[reflect.Type]bool            // types of results, which nobody alters
	texts []string
	until time.Duration // how long contexts last
}

func newGenerator(seed uint64, files ...string) *generator {
	g := &generator{r: rand.New(rand.NewPCG(seed, 0)), pools: map[reflect.Type][]reflect.Value{},
		texts: hostileTexts, until: time.Second}
	for _, f := range files {
		if text, err := os.ReadFile(f); err == nil {
			g.texts = append(g.texts, string(text))
		}
	}
	return g
}

const (
	largestPool = 40
	deepest     = 4
)

// keep adds a value to those that are handed to others.
func (g *generator) keep(v reflect.Value) {
	t := v.Type()
	switch t.Kind() {
	case reflect.Float64, reflect.Int, reflect.Bool, reflect.Int64, reflect.Uint64, reflect.Uint8:
		return
	case reflect.Interface, reflect.Pointer, reflect.Slice, reflect.Map, reflect.Func:
		if v.IsNil() {
			return
		}
	}
	pool := g.pools[t]
	if len(pool) < largestPool {
		g.pools[t] = append(pool, v)
	} else if g.r.IntN(8) == 0 {
		pool[g.r.IntN(len(pool))] = v
	}
	if t.Kind() == reflect.Pointer && t.Elem().Kind() == reflect.Struct && t.Elem().NumField() > 0 {
		return
	}
}

func pick[T any](g *generator, list []T) T { return list[g.r.IntN(len(list))] }

var (
	contextType = reflect.TypeFor[context.Context]()
	readerType  = reflect.TypeFor[io.Reader]()
	writerType  = reflect.TypeFor[io.Writer]()
	errorType   = reflect.TypeFor[error]()
	matrixType  = reflect.TypeFor[mat.Matrix]()
	timeType    = reflect.TypeFor[time.Time]()
)

// value makes an argument of a type.
func (g *generator) value(t reflect.Type, depth int) reflect.Value {
	if pool := g.pools[t]; len(pool) > 0 && g.r.IntN(4) != 0 {
		return pick(g, pool)
	}
	if depth > deepest {
		return reflect.Zero(t)
	}
	v := reflect.New(t).Elem()
	switch t.Kind() {
	case reflect.Float64, reflect.Float32:
		v.SetFloat(g.number())
	case reflect.Complex128:
		v.SetComplex(complex(g.number(), g.number()))
	case reflect.Int, reflect.Int64, reflect.Int32, reflect.Int16, reflect.Int8:
		v.SetInt(g.integer(t))
	case reflect.Uint, reflect.Uint64, reflect.Uint32, reflect.Uint16, reflect.Uint8:
		v.SetUint(uint64(pick(g, hostileInts)) >> (64 - t.Bits()))
		if g.r.IntN(2) == 0 {
			v.SetUint(uint64(g.r.IntN(5)))
		}
	case reflect.Bool:
		v.SetBool(g.r.IntN(2) == 0)
	case reflect.String:
		v.SetString(pick(g, g.texts))
	case reflect.Pointer:
		if g.r.IntN(3) != 0 {
			v = reflect.New(t.Elem())
			v.Elem().Set(g.value(t.Elem(), depth+1))
		}
	case reflect.Struct:
		g.fields(v, depth)
	case reflect.Array:
		for i := range v.Len() {
			v.Index(i).Set(g.value(t.Elem(), depth+1))
		}
	case reflect.Slice:
		g.list(v, depth)
	case reflect.Map:
		if n := g.r.IntN(4); n > 0 {
			v.Set(reflect.MakeMap(t))
			for range n - 1 {
				v.SetMapIndex(g.value(t.Key(), depth+1), g.value(t.Elem(), depth+1))
			}
		}
	case reflect.Func:
		if g.r.IntN(4) != 0 {
			v = g.function(t)
		}
	case reflect.Interface:
		g.implementation(v, depth)
	}
	return v
}

// number is a hostile one, or one that a user would give.
func (g *generator) number() float64 {
	switch g.r.IntN(4) {
	case 0:
		return math.Exp(20 * (g.r.Float64() - 0.5))
	case 1:
		return math.Copysign(math.Exp(1400*(g.r.Float64()-0.5)), g.r.Float64()-0.3)
	}
	return pick(g, hostile)
}

func (g *generator) integer(t reflect.Type) int64 {
	if g.r.IntN(2) == 0 {
		return int64(g.r.IntN(7)) - 1
	}
	n := pick(g, hostileInts)
	if shift := 64 - t.Bits(); shift > 0 && t.Kind() != reflect.Int {
		n >>= shift
	}
	return n
}

func (g *generator) fields(v reflect.Value, depth int) {
	t := v.Type()
	if t == timeType {
		v.Set(reflect.ValueOf(time.Unix(g.r.Int64N(1<<31), 0)))
		return
	}
	if pool := g.pools[t]; len(pool) > 0 && g.r.IntN(2) == 0 {
		v.Set(pick(g, pool))
	}
	if g.r.IntN(6) == 0 || g.whole[t] {
		return
	}
	share := 1 + g.r.IntN(4)
	for i := range v.NumField() {
		if t.Field(i).IsExported() && g.r.IntN(share) == 0 {
			v.Field(i).Set(g.value(t.Field(i).Type, depth+1))
		}
	}
}

func (g *generator) list(v reflect.Value, depth int) {
	t := v.Type()
	if t.Elem().Kind() == reflect.Uint8 {
		v.SetBytes([]byte(pick(g, g.texts)))
		return
	}
	if g.r.IntN(5) == 0 {
		return
	}
	n := g.r.IntN(5)
	if g.r.IntN(8) == 0 {
		n = g.r.IntN(40)
	}
	v.Set(reflect.MakeSlice(t, n, n))
	for i := range n {
		v.Index(i).Set(g.value(t.Elem(), depth+1))
	}
}

// function returns values of its types, or panics no more than the standard library does.
func (g *generator) function(t reflect.Type) reflect.Value {
	seed := g.r.Uint64()
	return reflect.MakeFunc(t, func([]reflect.Value) []reflect.Value {
		own := &generator{r: rand.New(rand.NewPCG(seed, 1)), texts: g.texts, until: g.until}
		var out []reflect.Value
		for out0 := range t.Outs() {
			if out0 == errorType {
				out = append(out, reflect.Zero(errorType))
				continue
			}
			out = append(out, own.value(out0, deepest))
		}
		return out
	})
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errors.New("full") }
func (failing) Read([]byte) (int, error)  { return 0, errors.New("unreadable") }

func (g *generator) implementation(v reflect.Value, depth int) {
	t := v.Type()
	set := func(x any) { v.Set(reflect.ValueOf(x)) }
	switch {
	case t != writerType && g.r.IntN(8) == 0: // nil; a nil writer panics in the standard library
	case t == contextType:
		ctx, cancel := context.WithTimeout(context.Background(), g.until)
		time.AfterFunc(2*g.until, cancel)
		if g.r.IntN(8) == 0 {
			cancel()
		}
		set(ctx)
	case t == readerType && g.r.IntN(8) == 0, t == writerType && g.r.IntN(8) == 0:
		set(failing{})
	case t == readerType:
		set(strings.NewReader(pick(g, g.texts)))
	case t == writerType:
		set(new(bytes.Buffer))
	case t == errorType:
		set(errors.New("an error"))
	case t == matrixType:
		n := 1 + g.r.IntN(4)
		m := mat.NewDense(n, n, nil)
		for i := range n {
			for j := range n {
				m.Set(i, j, g.number())
			}
		}
		set(m)
	case t.NumMethod() == 0:
		set(pick(g, []any{1, 1.5, "text", []float64{1}, struct{}{}})) // any
	default:
		// The first by name, whatever the order of the map.
		var first reflect.Type
		for other := range g.pools {
			if other.Implements(t) && (first == nil || other.String() < first.String()) {
				first = other
			}
		}
		if first != nil {
			v.Set(pick(g, g.pools[first]))
		}
	}
}
