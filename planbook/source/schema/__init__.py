"""The words of the language: which keys a source may hold and what each of them means."""
