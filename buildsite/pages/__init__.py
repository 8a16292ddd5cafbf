"""What the archive shows: order of computing, pages, figures."""
