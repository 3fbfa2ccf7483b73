package main

import "tidehold/response/playbook"

// What each form of "playbook" answers, as JSON shows it.

// cardsResult are cards filled in: of "playbook NAME" and of the binder.
type cardsResult struct {
	Cards []playbook.Card `json:"cards"`
	// LastPage is for whoever prints them.
	LastPage []playbook.Paragraph `json:"last_page"`
}

// playbooksResult is the list of what there is.
type playbooksResult struct {
	Playbooks []playbookEntry `json:"playbooks"`
}

type playbookEntry struct {
	Name    string `json:"name"`
	Title   string `json:"title"`
	UseWhen string `json:"use_when"`
	// Synonyms are words people use, by which it is found.
	Synonyms []string `json:"synonyms"`
	// File is where it stands, for a card of the keeper's own.
	File string `json:"file"`
}

// candidatesResult are the cards that fit what was asked for, where more than one does.
type candidatesResult struct {
	Asked      string      `json:"asked"`
	Candidates []candidate `json:"candidates"`
}

type candidate struct {
	Name  string `json:"name"`
	Title string `json:"title"`
}

// scoreResult is what --score finds.
type scoreResult struct {
	Reports []playbook.Report `json:"reports"`
}

// walkResult is what --walk finds.
type walkResult struct {
	// Paths are the ways taken, Situations the different states met on them.
	Paths      int                  `json:"paths"`
	Situations int                  `json:"situations"`
	Sites      int                  `json:"sites"`
	Cards      []string             `json:"cards"`
	Violations []playbook.Violation `json:"violations"`
}
