package main

import (
	_ "github.com/chromedp/chromedp"
	_ "github.com/google/jsonschema-go/jsonschema"
	_ "github.com/jedib0t/go-pretty/v6/table"
	_ "github.com/jedib0t/go-pretty/v6/text"
	_ "github.com/rogpeppe/go-internal/lockedfile"
	_ "github.com/rogpeppe/go-internal/testscript"
	_ "github.com/shopspring/decimal"
	_ "github.com/spf13/cobra"
	_ "golang.org/x/term"
	_ "gopkg.in/yaml.v3"
	_ "pgregory.net/rapid"
)
