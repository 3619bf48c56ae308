package stock

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"path"
	"strings"
	"unicode"

	"spanroom/internal/unit"
	"spanroom/models"
)

// FileOrder is a file as it was sent.
type FileOrder struct {
	Name string
	Data []byte
}

// FileAnswer is a file without its content.
type FileAnswer struct {
	SHA256 string `json:"sha256"`
	Kind   string `json:"kind"` // application/pdf, image/png, image/jpeg
	Name   string `json:"name"`
	Size   int64  `json:"size"` // in bytes
}

// fileKinds are the files that are kept, each with how its content begins. What a sender calls it counts for nothing.
var fileKinds = []struct{ kind, begins, ending string }{
	{"application/pdf", "%PDF-", ".pdf"},
	{"image/png", "\x89PNG\r\n\x1a\n", ".png"},
	{"image/jpeg", "\xff\xd8\xff", ".jpg"},
}

// file reads a file; nil where there is none.
func (r *orderReader) file(field string, o *FileOrder) *models.File {
	if o == nil {
		return nil
	}
	for _, k := range fileKinds {
		if bytes.HasPrefix(o.Data, []byte(k.begins)) {
			sum := sha256.Sum256(o.Data)
			return &models.File{SHA256: hex.EncodeToString(sum[:]), Kind: k.kind, Name: fileName(o.Name, k.ending), RecordedAt: r.at, Bytes: o.Data}
		}
	}
	text := "it is neither a PDF nor a PNG or JPEG picture"
	if len(o.Data) == 0 {
		text = "it is empty"
	}
	r.wrong.Add(field, text, "scan the document or take a picture of it, and choose that file")
	return nil
}

const longestFileName = 80

// fileName keeps what is readable of the name that a file came with, and gives it the ending of its kind.
func fileName(sent, ending string) string {
	name := path.Base(strings.ReplaceAll(sent, `\`, "/"))
	name = strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) || strings.ContainsRune(`"<>:|?*/`, r) {
			return -1
		}
		return r
	}, strings.ToValidUTF8(name, ""))
	name = strings.Trim(strings.TrimSuffix(name, path.Ext(name)), " .")
	if runes := []rune(name); len(runes) > longestFileName {
		name = string(runes[:longestFileName])
	}
	if name == "" {
		name = "document"
	}
	return name + ending
}

// StoredFile is a file with its content.
type StoredFile struct {
	FileAnswer
	RecordedAt unit.Instant
	Bytes      []byte
}

// File gives a file by the fingerprint of its content.
func (r Room) File(ctx context.Context, sum string) (StoredFile, error) {
	f, err := r.Store.FileBySHA256(ctx, strings.ToLower(sum))
	return StoredFile{FileAnswer{f.SHA256, f.Kind, f.Name, int64(len(f.Bytes))}, f.RecordedAt, f.Bytes}, err
}
