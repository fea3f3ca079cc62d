// What html-validate may pass over in our pages, each rule with the reason. All others of its recommended set hold.
export default {
  root: true,
  extends: ["html-validate:recommended"],
  rules: {
    // The theme's templates leave blanks at line ends, write <!doctype> small and say "presentation" for "none": the same to a browser.
    "no-trailing-whitespace": "off",
    "doctype-style": "off",
    "presentation-role-style": "off",
    // The theme's ids begin with underscores ("__search"), which HTML allows.
    "valid-id": ["error", { relaxed: true }],
    // Our forms compute at each change, so there is nothing to submit; the search does too. H32 is one way among others to meet 3.2.2.
    "wcag/h32": "off",
    // To it every <aside> is a landmark. In a section or an article, where our cautions stand, a nameless one is none (HTML-AAM);
    // axe, which asks the browser, finds the landmarks unique.
    "unique-landmark": "off",
    // A number to call stands beside words of whom it calls, in a link; the number itself never breaks (light.css).
    "tel-non-breaking": ["error", { ignoreClasses: ["number"] }],
  },
};
