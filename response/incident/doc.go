// Package incident is the night as it really went: the log of one event from the
// entries of the journal (log.go), the state the system is in now (state.go, water.go),
// what the results say about it (fit.go, explain.go, average.go), which sample would tell
// more (decider.go), and the report (report.go). The plan from here is that of package
// schedule, for the demand the state makes (state.go).
//
// # What is fitted
//
// Changes of known litres at known times, acting on a start C0 in a net volume V,
// predict every result in closed form (package dilution). Four explanations are
// fitted to the results: dilution alone (C0, V), a constant source beside it (S),
// release from rock and sand (ratio, rate), and removal by media (litres cleaned an
// hour). The fit is weighted least squares, each result with the standard deviation
// U/2 of its ±, with the site's ± of the volume as a prior (a row of the same
// problem), solved by Gauss-Newton steps; the uncertainties come from the inverse
// of the information matrix JᵀWJ. A result reported as "<x" is a bound: it costs
// nothing below x and its distance above.
//
// # How explanations are compared
//
// By BIC = χ² + k·ln n (k parameters, n results), which asks more of the explanation
// that has more parameters. A parameter with a prior of its own (volume, rate) pays by its
// row of χ² and is not counted in k: k·ln n stands in for priors that nobody states. The
// simplest stands unless another is better by 6 or
// more, "strong" evidence on the scale of Kass & Raftery.
//
// Source: [schwarz1978] for BIC; [kassraftery1995], section 3.2, for the grades.
package incident
