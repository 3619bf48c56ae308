package main

import (
	"bytes"
	"os"
	"testing"
)

func TestReorder(t *testing.T) {
	db, out := filled(t), newFile(t, "order.xlsx")
	must(t, "reorder", "--out", out, "--db", db)
	book, err := os.ReadFile(out)
	if err != nil || !bytes.HasPrefix(book, []byte("PK")) {
		t.Fatalf("not a workbook: %d bytes, %v", len(book), err)
	}
	refused(t, run(t, "reorder", "--out", out, "--db", db), failed, out+" exists already; choose a new name")
	again, err := os.ReadFile(out)
	if err != nil || !bytes.Equal(book, again) {
		t.Errorf("the first workbook was touched: %v", err)
	}
}

func TestReorderOfNothing(t *testing.T) {
	out := newFile(t, "order.xlsx")
	refused(t, run(t, "reorder", "--out", out, "--db", newFile(t, "typo.db")), failed, "no database at")
	if _, err := os.Stat(out); err == nil {
		t.Error("a workbook was written all the same")
	}
}
