// Package views turns answers into pages: one layout, parts that are used everywhere, one template set a page, and the
// stylesheet and modules that go with them. It knows none of the other rooms; values reach it as plain structs.
package views

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"maps"
	"os"
	"path"
	"slices"
	"strings"
)

//go:embed layout.html parts pages static
var files embed.FS

// Set is every page, ready to be rendered by several goroutines at once.
type Set struct {
	pages map[string]*template.Template
	dir   string
}

// Load parses the pages: "" takes those built into the program and keeps them, a directory (of the shape of this one) is
// parsed anew at each render, for development. A fault in any template fails here and not in front of a person.
func Load(dir string) (*Set, error) {
	root := root(dir)
	found, err := fs.Glob(root, "pages/*.html")
	if err != nil || len(found) == 0 {
		return nil, fmt.Errorf("views: no pages in %q: %w", dir, errors.Join(err, fs.ErrNotExist))
	}
	base, err := parseBase(root)
	if err != nil {
		return nil, err
	}
	pages := make(map[string]*template.Template, len(found))
	for _, file := range found {
		page, err := parsePage(root, base, file)
		if err != nil {
			return nil, err
		}
		pages[strings.TrimSuffix(path.Base(file), ".html")] = page
	}
	return &Set{pages: pages, dir: dir}, nil
}

// Names lists the pages that Render knows, in order.
func (s *Set) Names() []string { return slices.Sorted(maps.Keys(s.pages)) }

// Render writes the page called p.Name whole, or nothing and an error.
func (s *Set) Render(w io.Writer, p Page) error {
	page, err := s.page(p.Name)
	if err != nil {
		return err
	}
	if p, err = labelled(page, p); err != nil {
		return fmt.Errorf("views: page %s: %w", p.Name, err)
	}
	var out bytes.Buffer
	if err := page.ExecuteTemplate(&out, "layout", p); err != nil {
		return fmt.Errorf("views: page %s: %w", p.Name, err)
	}
	_, err = out.WriteTo(w)
	return err
}

func (s *Set) page(name string) (*template.Template, error) {
	page, ok := s.pages[name]
	if !ok {
		return nil, fmt.Errorf("views: there is no page %q", name)
	}
	if s.dir == "" {
		return page, nil
	}
	base, err := parseBase(root(s.dir))
	if err != nil {
		return nil, err
	}
	return parsePage(root(s.dir), base, "pages/"+name+".html")
}

func root(dir string) fs.FS {
	if dir == "" {
		return files
	}
	return os.DirFS(dir)
}

func parseBase(root fs.FS) (*template.Template, error) {
	base, err := template.New("base").Funcs(functions).ParseFS(root, "layout.html", "parts/*.html")
	if err != nil {
		return nil, fmt.Errorf("views: %w", err)
	}
	return base, nil
}

func parsePage(root fs.FS, base *template.Template, file string) (*template.Template, error) {
	page, err := base.Clone()
	if err != nil {
		return nil, fmt.Errorf("views: %w", err)
	}
	if _, err := page.ParseFS(root, file); err != nil {
		return nil, fmt.Errorf("views: %w", err)
	}
	if page.Lookup("main") == nil {
		return nil, fmt.Errorf(`views: %s has no {{define "main"}}`, file)
	}
	return page, escape(page, file)
}

// escape runs the page on nothing: html/template finds a missing part or a value in a place that it cannot make safe only
// when a page first runs. What the page then misses in its answer does not matter here.
func escape(page *template.Template, file string) error {
	err := page.ExecuteTemplate(io.Discard, "layout", Page{})
	var fault *template.Error
	if errors.As(err, &fault) {
		return fmt.Errorf("views: %s: %w", file, err)
	}
	return nil
}
