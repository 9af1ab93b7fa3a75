# Pictures.

