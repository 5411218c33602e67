module backroad

go 1.26
