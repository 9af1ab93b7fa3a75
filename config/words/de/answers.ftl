# Was durch einen Link geantwortet wird.

