"""What a case needs by way of papers: which evidence for which material and build-up."""
