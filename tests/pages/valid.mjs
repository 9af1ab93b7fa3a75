// Is a page valid HTML? By html-validate with its rules of the standard alone: elements, attributes and their values where
// they may stand, names that are unique, labels that lead somewhere.

import { createRequire } from "node:module";
import { join } from "node:path";

const require = createRequire(join(process.cwd(), "package.json"));
const { HtmlValidate } = require("html-validate");

const validator = new HtmlValidate({
  extends: ["html-validate:standard"],
  // Matters of taste: the page is written by a library that writes void elements and the document type its own way.
  rules: { "void-style": "off", "doctype-style": "off", "long-title": "off" },
});

/// What is wrong with the text of a page, a line each.
export function invalid(html) {
  const report = validator.validateStringSync(html);
  return report.results.flatMap((result) =>
    result.messages.map((fault) => `line ${fault.line}, column ${fault.column}: ${fault.message} (${fault.ruleId})`));
}
