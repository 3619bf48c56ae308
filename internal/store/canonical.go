package store

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strings"

	"github.com/gowebpki/jcs"

	"spanroom/models"
)

// hashed is what the hash of an entry covers: everything but the hash itself. Its fields stand in the order of their names.
type hashed struct {
	After      string `json:"after"`
	Before     string `json:"before"`
	By         string `json:"by"`
	HappenedAt int64  `json:"happened_at"`
	Kind       string `json:"kind"`
	Place      string `json:"place"`
	Previous   string `json:"previous_hash"`
	Quantity   int64  `json:"quantity"`
	Reason     string `json:"reason"`
	RecordedAt int64  `json:"recorded_at"`
	RequestID  string `json:"request_id"`
	Reverses   *int64 `json:"reverses"`
	Seq        int64  `json:"seq"`
	Subject    string `json:"subject"`
	Unit       string `json:"unit"`
}

func hashOf(e models.Entry) (string, error) {
	text, err := canonicalOf(hashed{
		Seq: e.Seq, RecordedAt: int64(e.RecordedAt), HappenedAt: int64(e.HappenedAt), By: e.ByName, Kind: e.Kind,
		Subject: e.Subject, Quantity: e.Quantity, Unit: e.Unit, Place: e.Place, Reverses: e.Reverses,
		Before: e.Before, After: e.After, Reason: e.Reason, RequestID: e.RequestID, Previous: e.PreviousHash,
	})
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:]), nil
}

// canonicalOf gives the RFC 8785 form of a struct of ours that has texts and whole numbers alone, in the order of their names:
// then the encoder of the standard library writes that form, but for escapes, for which the library of the standard is asked.
func canonicalOf(v any) (string, error) {
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return "", err
	}
	text := strings.TrimSuffix(out.String(), "\n")
	if strings.Contains(text, `\u`) {
		return canonical(text)
	}
	return text, nil
}

// canonical puts a JSON text into the form of RFC 8785; no text stays no text.
func canonical(text string) (string, error) {
	if text == "" {
		return "", nil
	}
	out, err := jcs.Transform([]byte(text))
	if err != nil {
		return "", fmt.Errorf("canonical form of a state: %w", err)
	}
	return string(out), nil
}
