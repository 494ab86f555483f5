const ESCAPES = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" };
const escapeText = (text) => String(text).replace(/[&<>"]/g, (sign) => ESCAPES[sign]);

/**
 * One element on one line.
 * @param name the tag with its attributes, such as `measure number="1"`
 * @param content elements already made (an array), text, or nothing; what is falsy is left out
 */
export function element(name, content) {
  const inner = Array.isArray(content) ? content.filter(Boolean).join("") : content;
  if (inner === undefined || inner === "") return `<${name}/>`;
  const text = Array.isArray(content) ? inner : escapeText(inner);
  return `<${name}>${text}</${name.split(" ")[0]}>`;
}

/** An element whose content stands on lines of its own. */
export function block(name, lines) {
  const inner = lines
    .filter(Boolean)
    .flatMap((line) => line.split("\n"))
    .map((line) => `  ${line}`);
  return [`<${name}>`, ...inner, `</${name.split(" ")[0]}>`].join("\n");
}
