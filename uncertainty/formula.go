// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

// This file builds a model from text. The parser of Go does the reading: its precedence, its
// numbers and its identifiers are the ones that a formula has. Four stages, each with messages of
// its own, so that a mistake is answered where it is understood best:
//
//	declare    the inputs: names that can stand in a formula, no name twice
//	firstSlip  the text: signs and habits of other notations (formulaslip.go)
//	parser     the grammar; plainSyntax puts its first complaint into words
//	build      the tree: known names and functions, numbers of arguments
//
// Only expressions of numbers, names, signs, the four operations and calls by name are built;
// whatever else Go's grammar has is refused by build, not ignored. Nothing of the text is ever
// run: a formula from a file of somebody else's can be wrong, and no worse.
//
// The estimate is computed while the tree is walked, by the same methods that a program calls, in
// the order of the text: a formula and the Go code that it looks like have the same bits.

import (
	"errors"
	"fmt"
	"go/ast"
	"go/constant"
	"go/parser"
	"go/scanner"
	"go/token"
	"math"
	"slices"
	"strings"

	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// Formula builds the model that a formula states. The syntax is that of Go
// expressions: numbers, the names of the inputs (see [Quantity.Named]), + - * / and
// parentheses, and the functions
//
//	sqrt exp log log10 sin cos tan asin acos atan sinh cosh tanh abs (of one argument)
//	pow(x, y) atan2(y, x) hypot(x, y) min(x, y) max(x, y)
//
// with log the natural logarithm, which ln is too, and angles in radians. All numbers are real: 1/2
// is 0.5. The name pi is the circle constant unless an input has it.
//
// It refuses at once, with column and reason: other syntax (x^2 too: say pow(x, 2)), a
// name that no input has ([ErrUnknown]), division by a literal zero, an input
// that the formula does not use ([ErrUnused]: a lost component) and one that
// carries an error. An estimate outside a domain is carried by the result, as in
// every other model.
func Formula(expression string, inputs ...Quantity) (Quantity, error) {
	// A line may end before an operator as well as behind it. Remarks end with their line.
	if !strings.Contains(expression, "//") {
		expression = strings.NewReplacer("\n", " ", "\r", " ").Replace(expression)
	}
	f := &formula{text: expression, byName: make(map[string]Quantity, len(inputs)),
		used: make(map[string]bool)}
	for i, q := range inputs {
		if err := f.declare(i, q); err != nil {
			return Quantity{}, err
		}
	}
	// The parser is recursive: a text without bound could exhaust the stack.
	if len(expression) > longestFormula {
		return f.reject(token.NoPos, ErrSyntax, "%d bytes; expected at most %d", len(expression),
			longestFormula)
	}
	// Before the parser, which would speak of a semicolon or of an operand.
	if err := f.firstSlip(); err != nil {
		return Quantity{}, err
	}
	tree, err := parser.ParseExprFrom(token.NewFileSet(), "", expression,
		parser.SkipObjectResolution)
	if err != nil {
		return Quantity{}, f.syntax(err)
	}
	q, err := f.build(tree)
	if err != nil {
		return Quantity{}, err
	}
	// An input that is not used is most likely a component that was forgotten.
	for _, in := range inputs {
		if !f.used[in.Name()] {
			return Quantity{}, &Error{Op: "uncertainty.Formula", Name: unit.Shown(in.Name()),
				Err: ErrUnused}
		}
	}
	return q, nil
}

// longestFormula is the longest text that is read, in bytes. Each parenthesis is a call of the
// parser and of build within another: the depth is at most that number, far from the end of a
// stack.
const longestFormula = 1 << 16

// formula holds what building one needs.
type formula struct {
	text   string              // as given; places of the parser count its bytes
	byName map[string]Quantity // the inputs
	used   map[string]bool     // names of inputs that the tree has contained so far
}

// declare makes the input at place i, from 0, known by its name. A name must be an identifier of
// Go: letters of any alphabet, so that ΔR and α_23 are names, but no keyword and no blank.
func (f *formula) declare(i int, q Quantity) error {
	name := q.Name()
	switch {
	case q.IsZero():
		return &Error{Op: "uncertainty.Formula", Err: unit.Errorf(ErrNoQuantity,
			"input %d is the zero Quantity; expected a quantity with a name", i+1)}
	case q.Err() != nil:
		return &Error{Op: "uncertainty.Formula", Name: unit.Shown(name), Err: q.Err()}
	case !token.IsIdentifier(name):
		return &Error{Op: "uncertainty.Formula", Name: unit.Shown(name),
			Err: unit.Errorf(ErrSyntax, "input %d cannot stand in a formula by this name; "+
				"expected a letter, then letters and digits", i+1)}
	}
	// One quantity given twice is harmless; two of one name are not.
	if old, ok := f.byName[name]; ok && old != q {
		return &Error{Op: "uncertainty.Formula", Name: unit.Shown(name), Err: ErrSameName}
	}
	f.byName[name] = q
	return nil
}

// refuse reports a place in the text, counted in characters from 1, which is also the Value of the
// error. A token.Pos counts bytes from 1, of which Ω and α have two; token.NoPos means the whole
// formula.
func (f *formula) refuse(at token.Pos, err error) error {
	if at == token.NoPos {
		return refused("uncertainty.Formula", "", err)
	}
	offset := min(max(0, int(at)-1), len(f.text))
	column := len([]rune(f.text[:offset])) + 1
	return &Error{Op: "uncertainty.Formula", Value: float64(column),
		Err: unit.Errorf(err, "column %d: %v", column, err)}
}

// reject is a refusal in place of a quantity, of which the text is given as to Errorf.
func (f *formula) reject(at token.Pos, cause error, format string,
	args ...any) (Quantity, error) {
	return Quantity{}, f.refuse(at, unit.Errorf(cause, format, args...))
}

// syntax puts the first complaint of the parser into our words; the others follow from it. The
// offsets of its list count from 0.
func (f *formula) syntax(err error) error {
	if list, ok := errors.AsType[scanner.ErrorList](err); ok && len(list) > 0 {
		return f.refuse(token.Pos(list[0].Pos.Offset+1),
			unit.Errorf(ErrSyntax, "%s", plainSyntax(list[0].Msg)))
	}
	return f.refuse(token.NoPos, unit.Errorf(ErrSyntax, "%v", err))
}

// build makes the quantity of an expression, its operands first, each node of the tree once. An
// error names the place where it was found. Estimates outside a domain, such as the root of a
// negative value, are no error here: the quantity carries them.
func (f *formula) build(e ast.Expr) (Quantity, error) {
	switch e := e.(type) {
	case *ast.ParenExpr:
		return f.build(e.X)
	case *ast.BasicLit:
		return f.literal(e)
	case *ast.Ident:
		return f.name(e)
	case *ast.UnaryExpr:
		return f.unary(e)
	case *ast.BinaryExpr:
		return f.binary(e)
	case *ast.CallExpr:
		return f.call(e)
	}
	if s, ok := e.(*ast.SelectorExpr); ok {
		return f.reject(s.X.End(), ErrSyntax,
			"a point before %s; expected an operator, or a point in numbers alone",
			unit.Shown(s.Sel.Name))
	}
	// "*ast.IndexExpr" is shown as "index".
	what := strings.ToLower(strings.TrimSuffix(strings.TrimPrefix(fmt.Sprintf("%T", e), "*ast."),
		"Expr"))
	return f.reject(e.Pos(), ErrSyntax,
		"%s expression; expected numbers, names, + - * / and functions", what)
}

// literal reads a number, exactly as the Go compiler does: 0x1p-3, 1_000 and .5 are numbers, and
// 0.1 is rounded once, from the exact decimal. Imaginary numbers, characters and strings, which Go
// counts as literals too, are refused.
func (f *formula) literal(e *ast.BasicLit) (Quantity, error) {
	if e.Kind != token.INT && e.Kind != token.FLOAT {
		return f.reject(e.Pos(), ErrSyntax, "%s; expected a number", unit.Shown(e.Value))
	}
	// Go would read 010 as 8.
	if e.Kind == token.INT && len(e.Value) > 1 && e.Value[0] == '0' &&
		strings.Trim(e.Value, "01234567_") == "" {
		return f.reject(e.Pos(), ErrSyntax,
			"%s would be octal; expected a number that does not begin with 0",
			unit.Shown(e.Value))
	}
	c := constant.ToFloat(constant.MakeFromLiteral(e.Value, e.Kind, 0))
	v, _ := constant.Float64Val(c)
	if c.Kind() == constant.Unknown {
		v = math.Inf(1) // beyond even the exact arithmetic of the compiler
	}
	if err := number("literal "+unit.Shown(e.Value), v); err != nil {
		return Quantity{}, f.refuse(e.Pos(), err)
	}
	return Exact(v), nil
}

// name finds what a name stands for: an input, before the constant pi. Whoever has an input called
// pi, the pressure inside, means that one.
func (f *formula) name(e *ast.Ident) (Quantity, error) {
	if q, ok := f.byName[e.Name]; ok {
		f.used[e.Name] = true
		return q, nil
	}
	if e.Name == "pi" {
		return Exact(math.Pi), nil
	}
	known := make([]string, 0, len(f.byName))
	for name := range f.byName {
		known = append(known, name)
	}
	slices.Sort(known) // the order of a map changes from run to run
	_, one := functions[e.Name]
	if _, two := functions2[e.Name]; one || two {
		return f.reject(e.Pos(), ErrUnknown,
			"%s is a function; expected its argument in parentheses", e.Name)
	}
	if e.Name == "π" {
		return f.reject(e.Pos(), ErrUnknown, "π is not one of the inputs; expected pi")
	}
	return Quantity{}, f.refuse(e.Pos(), file.Unknown("name", e.Name, known...))
}

// unary applies a sign. Go also has !x, ^x, *x, &x and <-x, none of which a formula has.
func (f *formula) unary(e *ast.UnaryExpr) (Quantity, error) {
	x, err := f.build(e.X)
	if err != nil {
		return Quantity{}, err
	}
	switch e.Op {
	case token.ADD:
		return x, nil
	case token.SUB:
		return x.Neg(), nil
	}
	return f.reject(e.OpPos, ErrSyntax, "operator %s before a value; expected + or -", e.Op)
}

// binary applies one of the four operations. Comparisons, shifts and bitwise operations, which the
// parser accepts, are refused at their sign; ^ does not come so far, see firstSlip.
func (f *formula) binary(e *ast.BinaryExpr) (Quantity, error) {
	x, err := f.build(e.X)
	if err != nil {
		return Quantity{}, err
	}
	y, err := f.build(e.Y)
	if err != nil {
		return Quantity{}, err
	}
	switch e.Op {
	case token.ADD:
		return x.Add(y), nil
	case token.SUB:
		return x.Sub(y), nil
	case token.MUL:
		return x.Mul(y), nil
	case token.QUO:
		// A divisor that an estimate makes 0 is found by Div; a literal one is a slip of the pen.
		if isZero(e.Y) {
			return f.reject(e.Y.Pos(), ErrDomain, "division by 0; expected another divisor")
		}
		return x.Div(y), nil
	}
	return f.reject(e.OpPos, ErrSyntax, "operator %s; expected + - * /", e.Op)
}

// isZero reports whether an expression is a literal zero, signs and parentheses
// allowed: 0, -0.0, (0e5). An expression that comes to 0, 1 - 1, is left to Div.
func isZero(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.ParenExpr:
		return isZero(e.X)
	case *ast.UnaryExpr:
		return isZero(e.X)
	case *ast.BasicLit:
		v := constant.MakeFromLiteral(e.Value, e.Kind, 0)
		return (e.Kind == token.INT || e.Kind == token.FLOAT) && v.Kind() != constant.Unknown &&
			constant.Sign(v) == 0
	}
	return false
}

// functions are those of one argument, functions2 those of two, by their names in formulas. A name
// added here belongs into functionNames and into the comment of [Formula] too.
var (
	functions = map[string]func(Quantity) Quantity{
		"sqrt": Sqrt, "exp": Exp, "log": Log, "ln": Log, "log10": Log10, "sin": Sin, "cos": Cos,
		"tan":  Tan,
		"asin": Asin, "acos": Acos, "atan": Atan, "sinh": Sinh, "cosh": Cosh, "tanh": Tanh,
		"abs": Abs,
	}
	functions2 = map[string]func(a, b Quantity) Quantity{"pow": Pow, "atan2": Atan2, "hypot": Hypot,
		"min": Min, "max": Max}
)

// functionNames lists them for a message.
const functionNames = "sqrt exp log log10 sin cos tan asin acos atan sinh cosh tanh abs, or pow " +
	"atan2 hypot min max of two arguments"

// call applies a function to its arguments. What is no function is answered by the likeliest
// mistake: a step function, the name that other programs have for a function, an input before a
// parenthesis where an operator was forgotten, as in R(1 + x).
func (f *formula) call(e *ast.CallExpr) (Quantity, error) {
	name, ok := e.Fun.(*ast.Ident)
	if !ok || e.Ellipsis != token.NoPos {
		return f.reject(e.Pos(), ErrSyntax,
			"call of an expression; expected a function by name, such as sqrt(x)")
	}
	// The arguments first, so that a slip in one is reported before the name of the function.
	args := make([]Quantity, len(e.Args))
	for i, arg := range e.Args {
		q, err := f.build(arg)
		if err != nil {
			return Quantity{}, err
		}
		args[i] = q
	}
	if two, ok := functions2[name.Name]; ok {
		if len(args) != 2 {
			return f.reject(e.Pos(), ErrSyntax, "%s with %s; expected %[1]s(x, y)", name.Name,
				unit.Counted(len(args), "argument", "arguments"))
		}
		return two(args[0], args[1]), nil
	}
	one, ok := functions[name.Name]
	if !ok {
		if why, ok := stepFunctions[strings.ToLower(name.Name)]; ok {
			return f.reject(e.Pos(), ErrUnknown,
				"function %s jumps: %s; expected a function without jumps", name.Name, why)
		}
		if write, ok := otherNames[strings.ToLower(name.Name)]; ok {
			return f.reject(e.Pos(), ErrUnknown, "unknown function %q; expected %s", name.Name,
				write)
		}
		if _, ok := f.byName[name.Name]; ok {
			return f.reject(e.Pos(), ErrSyntax,
				"%s is an input, not a function; expected an operator before the parenthesis, "+
					"such as *", unit.Shown(name.Name))
		}
		return f.reject(e.Pos(), ErrUnknown, "unknown function %s; expected %s",
			unit.Quoted(name.Name), functionNames)
	}
	if len(args) != 1 {
		return f.reject(e.Pos(), ErrSyntax, "%s with %s; expected one", name.Name,
			unit.Counted(len(args), "argument", "arguments"))
	}
	return one(args[0]), nil
}
