// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package concurrent

import (
	"context"
	"io"
	"reflect"
	"slices"
	"sync"
	"testing"
)

// workers is how many goroutines call at once: two can race, and a third meets what the two have
// half done.
const workers = 3

// Methods calls every method of each value from three goroutines, and returns how many methods
// that were. A method gets the context of the test, io.Discard, 1 for a number, and the
// positions, which may be none, for integers without end; one that takes anything else is left
// out, as are those named in except. A count that falls shows that a method has left the test.
//
// Results are not looked at: a race between two calls, such as a field that is filled in when it
// is first asked for, is found by the detector alone.
func Methods(t testing.TB, values []any, positions []int, except ...string) (methods int) {
	t.Helper()
	for _, v := range values {
		of := reflect.ValueOf(v)
		var calls []func()
		for i := range of.NumMethod() {
			method := of.Method(i)
			args, ok := arguments(t, method.Type(), positions)
			if ok && !slices.Contains(except, of.Type().Method(i).Name) {
				calls = append(calls, func() { method.Call(args) })
			}
		}
		var wg sync.WaitGroup
		for worker := range workers {
			wg.Go(func() {
				for k := range calls {
					// Each begins elsewhere, so that different methods meet.
					calls[(k+worker*len(calls)/workers)%len(calls)]()
				}
			})
		}
		wg.Wait()
		methods += len(calls)
	}
	return methods
}

// arguments makes those of a method; ok is false where there is one of another type. positions are
// passed one by one, as a call with three dots would not do: Call expects them so.
func arguments(t testing.TB, of reflect.Type, positions []int) (args []reflect.Value, ok bool) {
	for i := range of.NumIn() {
		switch in := of.In(i); in {
		case reflect.TypeFor[context.Context]():
			args = append(args, reflect.ValueOf(t.Context()))
		case reflect.TypeFor[io.Writer]():
			args = append(args, reflect.ValueOf(io.Discard))
		case reflect.TypeFor[float64](), reflect.TypeFor[int]():
			// Converted: Call takes no int for a float64.
			args = append(args, reflect.ValueOf(1).Convert(in))
		case reflect.TypeFor[[]int]():
			for _, p := range positions {
				args = append(args, reflect.ValueOf(p))
			}
			return args, of.IsVariadic()
		// Of a type that is not known only the values without end may be left out.
		default:
			return args, of.IsVariadic() && i == of.NumIn()-1
		}
	}
	return args, true
}
