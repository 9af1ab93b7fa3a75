# What the keeper answers by a link.

