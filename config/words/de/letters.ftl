# Briefe.

