// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package unit

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// The causes of errors that every package of the module shares. The packages above
// declare the same values under the same names, so that [errors.Is] does not depend on
// which of them refused.
var (
	ErrNotFinite    = errors.New("not a finite number")
	ErrDomain       = errors.New("outside the domain")
	ErrSyntax       = errors.New("not of the expected form")
	ErrUnit         = errors.New("unknown unit")
	ErrUnitMismatch = errors.New("units do not fit together")
	ErrRange        = errors.New("outside the range of float64")
	ErrUnknown      = errors.New("unknown name")
	ErrNotStated    = errors.New("not stated")
)

// Error says what was refused, with the value that was given and the cause. It is the
// error type of every package of the module. Its text is "op: name: cause"; the cause
// says what was given and what was expected.
type Error struct {
	Op    string // package and function: "decade.Setting.MaxCurrent"
	Name  string // argument, field, line of a file; may be empty
	Value any    // what was given, where one number (a float64) or text says it; else nil
	Err   error  // wraps a cause for errors.Is
}

// Error returns operation, name and cause on one line, without what is empty.
func (e *Error) Error() string {
	if e == nil {
		return "no error"
	}
	parts := []string{e.Op, e.Name, "unknown cause"}
	if e.Err != nil {
		parts[2] = e.Err.Error()
	}
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), ": ")
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error {
	if e == nil {
		return nil
	}
	return e.Err
}

// Cause returns what an [Error] wraps, for a function that puts its own name in front of
// the cause; another error comes back as it is. Of an Error within an Error the operation
// is left out, see [WithoutOp].
func Cause(err error) error {
	// Only the outermost: what lies below has a place of its own.
	if e, ok := err.(*Error); ok && e.Err != nil {
		return WithoutOp(e.Err)
	}
	return err
}

// WithoutOp returns the error without operations, at any depth of an [Error] within an Error:
// names and causes alone, for somebody who has files and no program. Another error comes back
// as it is.
func WithoutOp(err error) error {
	e, ok := err.(*Error)
	if !ok || e == nil {
		return err
	}
	return &Error{Name: e.Name, Value: e.Value, Err: WithoutOp(e.Err)}
}

// Errorf returns an error of the given text of which [errors.Is] finds the cause. By
// custom of the module the text is "given; expected …".
func Errorf(cause error, format string, args ...any) error {
	return &detail{cause, fmt.Sprintf(format, args...)}
}

// detail is the particulars of one case.
type detail struct {
	cause error
	text  string
}

// Error is the text of the case, Unwrap the cause that errors.Is finds.
func (d *detail) Error() string { return d.text }
func (d *detail) Unwrap() error { return d.cause }
