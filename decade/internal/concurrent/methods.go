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

const workers = 3

// Methods calls every method of each value from three goroutines, and returns how many methods
// that were. A method gets the context of the test, io.Discard, 1 for a number, and the
// positions, which may be none, for integers without end; one that takes anything else is left
// out, as are those named in except.
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

func arguments(t testing.TB, of reflect.Type, positions []int) (args []reflect.Value, ok bool) {
	for i := range of.NumIn() {
		switch in := of.In(i); in {
		case reflect.TypeFor[context.Context]():
			args = append(args, reflect.ValueOf(t.Context()))
		case reflect.TypeFor[io.Writer]():
			args = append(args, reflect.ValueOf(io.Discard))
		case reflect.TypeFor[float64](), reflect.TypeFor[int]():
			args = append(args, reflect.ValueOf(1).Convert(in))
		case reflect.TypeFor[[]int]():
			for _, p := range positions {
				args = append(args, reflect.ValueOf(p))
			}
			return args, of.IsVariadic()
		default:
			return args, of.IsVariadic() && i == of.NumIn()-1
		}
	}
	return args, true
}
