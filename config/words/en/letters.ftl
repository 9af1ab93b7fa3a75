# Letters.

