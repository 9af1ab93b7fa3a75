# Bilder.

