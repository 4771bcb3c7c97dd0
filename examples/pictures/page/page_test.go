// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"mime/multipart"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"example.com/ohmwright/examples/internal/models"
	"example.com/ohmwright/uncertainty"
)

// answered asks the handler and returns status and page.
func answered(t *testing.T, h http.Handler, method, path string, form url.Values) (int, string) {
	t.Helper()
	var body io.Reader
	if form != nil {
		body = strings.NewReader(form.Encode())
	}
	r := httptest.NewRequest(method, path, body)
	if form != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w.Code, w.Body.String()
}

func wants(t *testing.T, page string, words ...string) {
	t.Helper()
	for _, want := range words {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
}

func TestPagesOfAllModels(t *testing.T) {
	h := newHandler()
	for _, m := range models.All {
		status, page := answered(t, h, "GET", "/budget?model="+m.Name, nil)
		if status != http.StatusOK {
			t.Errorf("%s: status %d", m.Name, status)
		}
		wants(t, page, "coverage probability", "Shares of the variance", "Distribution of", "equal tails", "were halved", "By clause 8")
	}
	for _, path := range []string{"/", "/exercise", "/box", "/style.css"} {
		if status, page := answered(t, h, "GET", path, nil); status != http.StatusOK || len(page) < 500 {
			t.Errorf("%s: status %d, %d bytes", path, status, len(page))
		}
	}
}

// The fields of a page are a form that gives the same page.
func fields(page string) url.Values {
	form := url.Values{}
	tag := regexp.MustCompile(`<input id="[^"]*" name="([^"]*)" value="([^"]*)"`)
	unescape := strings.NewReplacer("&#43;", "+", "&#39;", "'", "&#34;", `"`, "&lt;", "<", "&gt;", ">", "&amp;", "&")
	main := page[strings.Index(page, `action="/budget#result"`):]
	main = main[:strings.Index(main, "</form>")]
	for _, m := range tag.FindAllStringSubmatch(main, -1) {
		form.Add(m[1], unescape.Replace(m[2]))
	}
	for _, s := range regexp.MustCompile(`(?s)name="inputKind">(.*?)</select>`).FindAllStringSubmatch(main, -1) {
		chosen := "normal"
		if m := regexp.MustCompile(`<option selected>([^<]*)<`).FindStringSubmatch(s[1]); m != nil {
			chosen = m[1]
		}
		form.Add("inputKind", chosen)
	}
	if m := regexp.MustCompile(`(?s)name="correlations"[^>]*>(.*?)</textarea>`).FindStringSubmatch(main); m != nil {
		form.Set("correlations", m[1])
	}
	return form
}

func verdict(page string) string {
	m := regexp.MustCompile(`(?s)<div class="verdict" id="result">(.*?)</div>`).FindStringSubmatch(page)
	if m == nil {
		return ""
	}
	return m[1]
}

func TestFormGivesTheSamePage(t *testing.T) {
	h := newHandler()
	for _, m := range models.All {
		_, first := answered(t, h, "GET", "/budget?model="+m.Name, nil)
		status, second := answered(t, h, "POST", "/budget", fields(first))
		if status != http.StatusOK || verdict(second) == "" || verdict(second) != verdict(first) {
			t.Errorf("%s: status %d, %q; want %q", m.Name, status, verdict(second), verdict(first))
		}
	}
}

// An input is turned, and the result follows.
func TestInputTurned(t *testing.T) {
	h := newHandler()
	_, page := answered(t, h, "GET", "/budget?model=power", nil)
	form := fields(page)
	form["inputEstimate"][0] = "10" // V: four times the power
	_, page = answered(t, h, "POST", "/budget", form)
	wants(t, verdict(page), "P = (1.0")
	form.Set("correlations", "V, R, 0.5")
	_, page = answered(t, h, "POST", "/budget", form)
	wants(t, page, "correlated with another input; expected a normal distribution")
	form["inputKind"][1] = "normal"
	_, page = answered(t, h, "POST", "/budget", form)
	wants(t, page, "correlation coefficient r(V, R) = 0.5")
}

// What is wrong stands beside its field, in words about what was entered.
func TestMistakesBesideTheField(t *testing.T) {
	h := newHandler()
	_, page := answered(t, h, "GET", "/budget?model=power", nil)
	for _, c := range []struct{ field, entered, want string }{
		{"formula", "V×V/R", "×"},
		{"formula", "V*V/Q", "Q"},
		{"formula", "2V", "*"},
		{"formula", "", "the formula ends here"},
		{"inputUncertainty", "50 mA", "mA"},
		{"inputUncertainty", "0,05", "0,05"},
		{"inputUncertainty", "", "no standard uncertainty; expected it in the field &#34;uncertainty&#34;"},
		{"inputMore", "3", "third figure &#34;3&#34;; expected an empty field"},
		{"inputKind", "certificate", "no k; expected it in the field &#34;third figure&#34;"},
		{"inputKind", "type A", "uncertainty &#34;50 mV&#34;; expected an empty field"},
		{"inputName", "", "no name"},
		{"inputReliability", "ten", "ten"},
		{"coverage", "95", "such as 95 %"},
		{"inputEstimate", "NaN", "NaN"},
		{"coverage", "120 %", "less than 100 %"},
		{"correlations", "V with R 0.5", "expected two names"},
		{"correlations", "V Q 0.5", "not the name of an input"},
	} {
		form := fields(page)
		form[c.field][0] = c.entered
		status, got := answered(t, h, "POST", "/budget", form)
		if status != http.StatusUnprocessableEntity || !strings.Contains(got, "see the fields that are marked") {
			t.Errorf("%s %q: status %d", c.field, c.entered, status)
		}
		messages := strings.Join(regexp.MustCompile(`(?s)<p class="warning"[^>]*role="alert">(.*?)</p>`).FindAllString(got, -1), "\n")
		if !strings.Contains(messages, c.want) || strings.Contains(messages, "uncertainty.") || strings.Contains(messages, "line 1") {
			t.Errorf("%s %q: %s; want %q and no place in a file", c.field, c.entered, messages, c.want)
		}
	}
}

func TestExport(t *testing.T) {
	h := newHandler()
	_, page := answered(t, h, "GET", "/budget?model=substitution", nil)
	for format, want := range map[string]string{"markdown": "| Quantity |", "csv": "Quantity,Estimate", "json": `"components"`, "latex": `\begin{tabular`, "model": `"formula"`} {
		form := fields(page)
		form.Set("format", format)
		status, text := answered(t, h, "POST", "/budget/export", form)
		if status != http.StatusOK || !strings.Contains(text, want) {
			t.Errorf("%s: status %d, %.200s", format, status, text)
		}
		if format == "model" {
			if _, err := uncertainty.ReadModel(strings.NewReader(text)); err != nil {
				t.Error(err)
			}
		}
	}
	form := fields(page)
	form.Set("format", "pdf")
	if status, _ := answered(t, h, "POST", "/budget/export", form); status != http.StatusUnprocessableEntity {
		t.Errorf("status %d for a format that there is not", status)
	}
}

// exerciseForm is filled with the right answers.
func exerciseForm(t *testing.T, seed uint64) (url.Values, *task) {
	t.Helper()
	x, err := newTask(seed)
	if err != nil {
		t.Fatal(err)
	}
	mean, s, err := uncertainty.MeanStdDev(x.Readings)
	if err != nil {
		t.Fatal(err)
	}
	b := x.budget
	n := func(v float64) string { return strconv.FormatFloat(v, 'g', 8, 64) }
	return url.Values{"seed": {strconv.FormatUint(seed, 10)}, "estimate": {n(mean + x.Correction)}, "scatter": {n(s / math.Sqrt(float64(len(x.Readings))))},
		"u": {n(b.StandardUncertainty)}, "dof": {n(math.Floor(b.DOF))}, "k": {n(b.Expanded.K)}, "U": {n(b.Expanded.U)},
		"statement": {uncertainty.FormatPlusMinus(b.Estimate, b.Expanded.U, 2)}}, x
}

func TestExerciseJudges(t *testing.T) {
	h := newHandler()
	for seed := range uint64(40) {
		form, x := exerciseForm(t, seed)
		if _, page := answered(t, h, "POST", "/exercise", form); !strings.Contains(page, "7 of 7 right") {
			t.Errorf("seed %d: right answers are not all judged right: %v", seed, form)
		}
		mean, s, err := uncertainty.MeanStdDev(x.Readings)
		if err != nil {
			t.Fatal(err)
		}
		n := float64(len(x.Readings))
		step := x.Step / math.Sqrt(12)
		for field, slips := range map[string]map[string]float64{
			"estimate": {"this is the mean alone": mean},
			"scatter":  {"smaller by √n": s},
			"u": {
				"√n was forgotten":  math.Sqrt(s*s + x.U*x.U/4 + step*step),
				"divide it by k":    math.Sqrt(s*s/n + x.U*x.U + step*step),
				"their squares add": s/math.Sqrt(n) + x.U/2 + step,
			},
		} {
			for want, value := range slips {
				wrong := url.Values{}
				for k, v := range form {
					wrong[k] = v
				}
				wrong.Set(field, strconv.FormatFloat(value, 'g', 8, 64))
				_, page := answered(t, h, "POST", "/exercise", wrong)
				if !strings.Contains(page, "6 of 7 right") || !strings.Contains(page, want) {
					t.Errorf("seed %d, %s = %v: the page does not say %q", seed, field, value, want)
				}
			}
		}
	}
	form, _ := exerciseForm(t, 3)
	form.Set("k", "1.96")
	if _, page := answered(t, h, "POST", "/exercise", form); !strings.Contains(page, "k of the normal") {
		t.Error("k of the normal distribution is not recognised")
	}
	form.Set("k", "1,96")
	form.Set("statement", "about 100")
	if _, page := answered(t, h, "POST", "/exercise", form); !strings.Contains(page, "5 of 7 right") {
		t.Error("a decimal comma and a text are judged right")
	}
}

func demoFile(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile("../../boxcheck/demo/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

var hiddenState = regexp.MustCompile(`name="state" value="([^"]*)"`)

func stateOf(t *testing.T, page string) string {
	t.Helper()
	m := hiddenState.FindStringSubmatch(page)
	if m == nil {
		t.Fatal("the page carries no inspection")
	}
	return strings.NewReplacer("&#34;", `"`, "&#43;", "+", "&#39;", "'", "&lt;", "<", "&gt;", ">", "&amp;", "&").Replace(m[1])
}

func TestBox(t *testing.T) {
	h := newHandler()
	start := url.Values{"box": {demoFile(t, "box.json")}, "meter": {demoFile(t, "meter.json")}, "readings": {demoFile(t, "readings.csv")}}
	status, page := answered(t, h, "POST", "/box", start)
	if status != http.StatusOK {
		t.Fatalf("status %d", status)
	}
	wants(t, page, "The box does not conform", "What is wrong", "Next step", "Cautions", "Deviations from nominal", "Uncertainty budget of", "Local codes")
	state := stateOf(t, page)
	count := func(state string) int {
		var x struct{ Readings []json.RawMessage }
		if err := json.Unmarshal([]byte(state), &x); err != nil {
			t.Fatal(err)
		}
		return len(x.Readings)
	}
	n := count(state)
	_, page = answered(t, h, "POST", "/box", url.Values{"state": {state}, "act": {"add"}, "setting": {"0-0-0-0-0-6"}, "values": {"0,6121; 0,6122"}})
	if after := stateOf(t, page); count(after) != n+1 {
		t.Errorf("%d readings after one more; want %d: %q", count(after), n+1, regexp.MustCompile(`role="alert">.*`).FindAllString(page, -1))
	} else if _, page = answered(t, h, "POST", "/box", url.Values{"state": {after}, "act": {"undo"}}); count(stateOf(t, page)) != n {
		t.Errorf("%d readings after undoing; want %d", count(stateOf(t, page)), n)
	}
	_, page = answered(t, h, "POST", "/box", url.Values{"state": {state}, "act": {"add"}, "setting": {"1-2"}, "values": {"5"}})
	wants(t, page, "2 positions")
	_, page = answered(t, h, "POST", "/box", url.Values{"state": {state}, "act": {"show"}, "row": {"1-2-3-4-5-7"}})
	wants(t, page, "Uncertainty budget of 1-2-3-4-5-7")
	status, saved := answered(t, h, "POST", "/box/save", url.Values{"state": {state}})
	if status != http.StatusOK || count(saved) != n {
		t.Errorf("saved: status %d, %d readings; want %d", status, count(saved), n)
	}
	// Resumed from the file, by a form with files.
	var body bytes.Buffer
	m := multipart.NewWriter(&body)
	part, err := m.CreateFormFile("stateFile", "inspection.json")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := io.WriteString(part, saved); err != nil {
		t.Fatal(err)
	}
	m.Close()
	r := httptest.NewRequest("POST", "/box", &body)
	r.Header.Set("Content-Type", m.FormDataContentType())
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	if w.Code != http.StatusOK || count(stateOf(t, w.Body.String())) != n {
		t.Errorf("resumed: status %d", w.Code)
	}
	// Without readings the inspection begins here.
	start.Set("readings", "")
	_, page = answered(t, h, "POST", "/box", start)
	if count(stateOf(t, page)) != 0 {
		t.Error("readings out of nothing")
	}
	for field, want := range map[string]string{"box": "did you mean", "meter": "unknown key", "readings": "line 1"} {
		bad := url.Values{"box": {demoFile(t, "box.json")}, "meter": {demoFile(t, "meter.json")}, "readings": {demoFile(t, "readings.csv")}}
		bad.Set(field, `{"nme": 1}`)
		status, page := answered(t, h, "POST", "/box", bad)
		if status != http.StatusUnprocessableEntity || !strings.Contains(page, want) {
			t.Errorf("bad %s: status %d: %q; want %q", field, status, regexp.MustCompile(`role="alert">.*`).FindAllString(page, -1), want)
		}
	}
}

// Hostile requests get an answer that is a refusal, and nothing of them is markup.
func TestHostile(t *testing.T) {
	h := newHandler()
	const markup = `<script>alert(1)</script>"'&`
	_, page := answered(t, h, "GET", "/budget?model=power", nil)
	form := fields(page)
	form["inputName"][0], form["inputNote"][0], form["formula"][0] = markup, markup, markup
	many := url.Values{"formula": {"a"}}
	for range 1_000 {
		for _, c := range []string{"inputName", "inputUnit", "inputKind", "inputEstimate", "inputUncertainty", "inputMore", "inputReliability", "inputNote"} {
			many.Add(c, "1")
		}
	}
	long := fields(page)
	long["inputName"][0] = strings.Repeat("x", 1<<15)
	for name, c := range map[string]struct {
		method, path string
		form         url.Values
		want         []int
	}{
		"10 MB":            {"POST", "/box", url.Values{"box": {strings.Repeat("x", 10<<20)}}, []int{http.StatusRequestEntityTooLarge}},
		"a million inputs": {"POST", "/budget", url.Values{"formula": {"a"}, "inputName": make([]string, 1_000_000)}, []int{http.StatusRequestEntityTooLarge}},
		"1,000 inputs":     {"POST", "/budget", many, []int{http.StatusBadRequest}},
		"a long name":      {"POST", "/budget", long, []int{http.StatusBadRequest}},
		"markup":           {"POST", "/budget", form, []int{http.StatusUnprocessableEntity}},
		"markup as model":  {"GET", "/budget?model=" + url.QueryEscape(markup), nil, []int{http.StatusUnprocessableEntity}},
		"a path as model":  {"GET", "/budget?model=" + url.QueryEscape("../../../etc/passwd"), nil, []int{http.StatusUnprocessableEntity}},
		"markup as seed":   {"GET", "/exercise?seed=" + url.QueryEscape(markup), nil, []int{http.StatusBadRequest}},
		"markup as box":    {"POST", "/box", url.Values{"box": {markup}}, []int{http.StatusUnprocessableEntity}},
		"markup as state":  {"POST", "/box", url.Values{"state": {markup}}, []int{http.StatusUnprocessableEntity}},
		"PUT":              {"PUT", "/budget", nil, []int{http.StatusMethodNotAllowed}},
		"DELETE":           {"DELETE", "/", nil, []int{http.StatusMethodNotAllowed}},
		"no such page":     {"GET", "/etc/passwd", nil, []int{http.StatusNotFound}},
		"up the tree":      {"GET", "/../main.go", nil, []int{http.StatusNotFound, http.StatusMovedPermanently, http.StatusTemporaryRedirect}},
		"unequal fields":   {"POST", "/budget", url.Values{"formula": {"a"}, "inputName": {"a", "b"}}, []int{http.StatusBadRequest}},
		"deep formula":     {"POST", "/budget", url.Values{"formula": {strings.Repeat("(", 3000)}}, []int{http.StatusUnprocessableEntity}},
		"a deep file":      {"POST", "/budget", url.Values{"file": {strings.Repeat("[", 100_000)}}, []int{http.StatusUnprocessableEntity}},
	} {
		start := time.Now()
		status, page := answered(t, h, c.method, c.path, c.form)
		found := false
		for _, want := range c.want {
			found = found || status == want
		}
		if !found {
			t.Errorf("%s: status %d; want one of %v", name, status, c.want)
		}
		if strings.Contains(page, "<script") || strings.Contains(page, "goroutine ") {
			t.Errorf("%s: the answer holds markup or a stack", name)
		}
		if d := time.Since(start); d > mostWork {
			t.Errorf("%s: took %v", name, d)
		}
	}
}

// 200 readers at once: everybody gets an answer, and nothing is left running.
func TestManyAtOnce(t *testing.T) {
	h := newHandler()
	_, page := answered(t, h, "GET", "/budget?model=quotient", nil)
	form := fields(page)
	before := runtime.NumGoroutine()
	var wait sync.WaitGroup
	for i := range 200 {
		wait.Go(func() {
			var status int
			if i%2 == 0 {
				status, _ = answered(t, h, "POST", "/budget", form)
			} else {
				status, _ = answered(t, h, "GET", fmt.Sprintf("/exercise?seed=%d", i), nil)
			}
			if status != http.StatusOK && status != http.StatusServiceUnavailable {
				t.Errorf("status %d", status)
			}
		})
	}
	wait.Wait()
	for range 100 {
		if runtime.NumGoroutine() <= before+2 {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Errorf("%d goroutines; %d before", runtime.NumGoroutine(), before)
}

// A reader who goes away ends the work for him.
func TestReaderGoesAway(t *testing.T) {
	h := newHandler()
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	form := url.Values{"box": {demoFile(t, "box.json")}, "meter": {demoFile(t, "meter.json")}, "readings": {demoFile(t, "readings.csv")}}
	r := httptest.NewRequestWithContext(ctx, "POST", "/box", strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	if w.Code == http.StatusOK {
		t.Error("a diagnosis was finished for nobody")
	}
}

func TestHeaders(t *testing.T) {
	w := httptest.NewRecorder()
	newHandler().ServeHTTP(w, httptest.NewRequest("GET", "/budget", nil))
	for name, want := range map[string]string{"Content-Security-Policy": "default-src 'none'", "X-Content-Type-Options": "nosniff",
		"Referrer-Policy": "no-referrer", "Cache-Control": "no-store", "Content-Type": "text/html; charset=utf-8"} {
		if got := w.Header().Get(name); !strings.HasPrefix(got, want) {
			t.Errorf("%s: %q; want %q", name, got, want)
		}
	}
}

// The server says where it is, and ends when it is told to.
func TestServeAndEnd(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- serve(ctx, listener) }()
	answer, err := http.Get("http://" + listener.Addr().String() + "/")
	if err != nil {
		t.Fatal(err)
	}
	answer.Body.Close()
	cancel()
	select {
	case err := <-ended:
		if err != nil {
			t.Error(err)
		}
	case <-time.After(10 * time.Second):
		t.Error("the server does not end")
	}
	var out strings.Builder
	if err := run(context.Background(), []string{"x"}, &out); err == nil || !strings.Contains(err.Error(), `argument "x"`) {
		t.Errorf("%v", err)
	}
	if err := run(context.Background(), []string{"-address", "256.0.0.1:1"}, &out); err == nil {
		t.Error("no error of an address that there is not")
	}
	ended2, stop := context.WithCancel(context.Background())
	stop()
	if err := run(ended2, nil, &out); err != nil && !errors.Is(err, context.Canceled) || !strings.Contains(out.String(), "Open http://127.0.0.1:") {
		t.Errorf("%v, %q", err, &out)
	}
}

// Students who look t up in the table of the guide truncate the degrees of freedom (GUM G.4.1),
// and some round U up (GUM 7.2.6): both are right, and no other mistake is read into them.
func TestExerciseTakesTheTablesOfTheGuide(t *testing.T) {
	h := newHandler()
	for seed := range uint64(60) {
		form, x := exerciseForm(t, seed)
		b := x.budget
		k, err := uncertainty.CoverageFactor(0.95, math.Floor(b.DOF))
		if err != nil {
			t.Fatal(err)
		}
		U := k * b.StandardUncertainty
		form.Set("k", strconv.FormatFloat(k, 'f', 2, 64))
		form.Set("U", strconv.FormatFloat(U, 'g', 2, 64)+" Ω")
		for _, digits := range []int{1, 2} {
			form.Set("statement", uncertainty.FormatPlusMinus(b.Estimate, U, digits)+" Ω")
			_, page := answered(t, h, "POST", "/exercise", form)
			if !strings.Contains(page, "7 of 7 right") {
				t.Errorf("seed %d, truncated degrees of freedom: not all right: %v", seed, form)
			}
			if want := "truncated to " + strconv.FormatFloat(math.Floor(b.DOF), 'f', 0, 64); math.Abs(k-b.Expanded.K) > 0.015 && !strings.Contains(page, want) {
				t.Errorf("seed %d: the page does not say %q", seed, want)
			}
		}
		// Rounded up to two digits.
		unit := math.Pow10(int(math.Floor(math.Log10(b.Expanded.U))) - 1)
		up := math.Ceil(b.Expanded.U/unit) * unit
		form.Set("statement", uncertainty.FormatPlusMinus(b.Estimate, up, 2))
		if _, page := answered(t, h, "POST", "/exercise", form); !strings.Contains(page, "7 of 7 right") {
			t.Errorf("seed %d: U rounded up: not right: %v", seed, form)
		}
	}
	form, x := exerciseForm(t, 9)
	y, U := x.budget.Estimate, x.budget.Expanded.U
	for statement, want := range map[string]string{
		uncertainty.FormatPlusMinus(y, U, 3):                "U has too many digits",
		uncertainty.FormatPlusMinus(y, 2*U, 2):              "U is not the expanded uncertainty",
		uncertainty.FormatPlusMinus(y, 0.93*U, 2):           "U is not rounded correctly",
		uncertainty.FormatPlusMinus(y+3*U, U, 2):            "the estimate is not that of the first question",
		strconv.FormatFloat(y, 'f', 0, 64) + " ± " + "0.01": "different places",
		"100,0 ± 0.01": "a decimal comma",
		"100.0 +/- x":  "expected a decimal number",
	} {
		form.Set("statement", statement)
		if _, page := answered(t, h, "POST", "/exercise", form); !strings.Contains(page, want) {
			t.Errorf("statement %q: the page does not say %q", statement, want)
		}
	}
}
