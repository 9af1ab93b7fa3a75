# Seiten.

