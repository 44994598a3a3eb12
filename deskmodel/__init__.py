"""deskmodel: script a slim desk with equipment inside, check it, and write what the workshop needs."""
