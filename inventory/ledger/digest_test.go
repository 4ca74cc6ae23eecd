package ledger_test

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"os"
	"testing"

	"ovenward/inventory/ledger"
)

type vector struct {
	Fact    ledger.Fact `json:"fact"`
	Encoded string      `json:"encoded"` // the bytes that are hashed, in hexadecimal
}

// vectors reads the test vectors, which were computed with Python's hashlib
// from the description in the package comment.
func vectors(t *testing.T) []vector {
	t.Helper()
	file, err := os.Open("testdata/vectors.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	var vs []vector
	for lines := bufio.NewScanner(file); lines.Scan(); {
		var v vector
		if err := json.Unmarshal(lines.Bytes(), &v); err != nil {
			t.Fatalf("vector %d: %v", len(vs)+1, err)
		}
		vs = append(vs, v)
	}
	if len(vs) == 0 {
		t.Fatal("no vectors")
	}
	return vs
}

func TestDigestAgreesWithAnotherProgram(t *testing.T) {
	t.Parallel()
	for i, v := range vectors(t) {
		if got := v.Fact.Digest(); got != v.Fact.Hash {
			t.Errorf("vector %d: Digest() = %s, want %s", i+1, got, v.Fact.Hash)
		}
		encoded, err := hex.DecodeString(v.Encoded)
		if err != nil {
			t.Fatalf("vector %d: %v", i+1, err)
		}
		sum := sha256.Sum256(encoded)
		if got := hex.EncodeToString(sum[:]); got != v.Fact.Hash {
			t.Errorf("vector %d: SHA-256 of the encoded bytes = %s, want %s", i+1, got, v.Fact.Hash)
		}
	}
}

func TestVectorsAreOneChain(t *testing.T) {
	t.Parallel()
	vs := vectors(t)
	head := ledger.Start(vs[0].Fact.Site)
	for _, v := range vs {
		if err := head.Check(v.Fact); err != nil {
			t.Error(err)
		}
		again, err := head.Next(v.Fact.Draft())
		if err != nil || again != v.Fact {
			t.Errorf("Next made %+v, %v, want %+v", again, err, v.Fact)
		}
		head = v.Fact.Head()
	}
}

func TestUnknownEncodingHasNoDigest(t *testing.T) {
	t.Parallel()
	f := chain(t, ledger.Start("yard"), 1)[0]
	f.Encoding = 2
	if got := f.Digest(); got != "" {
		t.Errorf("Digest() = %q for an unknown encoding, want none", got)
	}
}

// Without length prefixes the two would be one text.
func TestMovedTextChangesTheDigest(t *testing.T) {
	t.Parallel()
	one := ledger.Fact{By: "ab", Via: "c", Encoding: ledger.Encoding}
	two := ledger.Fact{By: "a", Via: "bc", Encoding: ledger.Encoding}
	if one.Digest() == two.Digest() {
		t.Error("a letter moved from via to by left the digest as it was")
	}
}

func BenchmarkDigest(b *testing.B) {
	f := chain(b, ledger.Start("yard"), 1)[0]
	for b.Loop() {
		if f.Digest() != f.Hash {
			b.Fatal("digest changed")
		}
	}
}
