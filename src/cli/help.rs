//! What `--help` teaches below the options: a way to begin, examples, exit codes.

/// Below the list of commands.
pub const PROGRAM: &str = "\
A first order:
  chalkstripe new my-client.toml      a starter order: change its measures and choices
  chalkstripe check my-client.toml    read it; says what is wrong, unlikely or derived
  chalkstripe cut my-client.toml      draft, prove, lay and draw it, into out/my-client/

Exit codes:
  0    all went well
  2    something is at fault, in an order or in the command; for that order nothing was written
  130  stopped with Ctrl-C; what was written is whole, and its lay the best found until then

Faults are told on the standard error, in colour on a terminal unless NO_COLOR is set.";

/// Below the options of `cut`.
pub const CUT: &str = "\
Examples:
  chalkstripe cut my-client.toml                       onto A4, into out/my-client/
  chalkstripe cut my-client.toml --paper roll:914mm    onto a roll 914 mm wide
  chalkstripe cut my-client.toml --only jacket         prints the jacket's pieces alone
  chalkstripe cut my-client.toml --plot hpgl           for a plotter that ends at 819 mm
  chalkstripe cut orders/ --out cut                    every order in a folder
  chalkstripe cut my-client.toml --rounds 300          search longer for a shorter lay

Ctrl-C ends the search and writes the best lay so far; a second one stops at once. Sheets of an
earlier run stay as they are until the new ones are finished.

Print at 100 % and measure the test square on the first page before you cut.";

/// Below the options of `check`.
pub const CHECK: &str = "\
Examples:
  chalkstripe check my-client.toml    the measures taken and derived, the style, what proves the pattern
  chalkstripe check orders/           every order in a folder, each reported whatever the others have

A warning is worth a second look and does not change the exit code.";

/// Below the options of `draft`.
pub const DRAFT: &str = "\
Examples:
  chalkstripe draft my-client.toml                     the sheet of every garment of the order
  chalkstripe draft my-client.toml --garment jacket    of the jacket alone
  chalkstripe draft my-client.toml --against 0         after the fittings, against the first cut: what
                                                       moves, and whether the inlays allow it

It writes drafting-sheet.pdf (A3; print at 100 %, and measure the bar on the page),
drafting-sheet.svg and the made-up views, beside the sheets of an earlier `cut`.";

/// Below the options of `blocks`.
pub const BLOCKS: &str = "\
Examples:
  chalkstripe blocks                               every choice of every garment
  chalkstripe blocks jacket lapel                  one choice: its words, its default, what it goes with
  chalkstripe blocks jacket --pictures pictures    draw each word, and a page of them: pictures/jacket.html";

/// Below the options of `new`.
pub const NEW: &str = "\
Examples:
  chalkstripe new my-client.toml      write it; a file that is there already is left alone
  chalkstripe new > my-client.toml    print it instead";

/// Below the options of `next`.
pub const NEXT: &str = "\
Examples:
  chalkstripe next spring-suit.toml autumn-suit.toml   write it; a file that is there already is left alone
  chalkstripe check autumn-suit.toml                   what is still to be chosen

Every choice that the old order made stands empty in the new one, with what it was.";

/// Below the options of `measures`.
pub const MEASURES: &str = "\
Examples:
  chalkstripe measures                             every measure, as text
  chalkstripe measures trousers                    those that trousers want
  chalkstripe measures --pdf measures.pdf          a page to print and write on
  chalkstripe measures --order my-client.toml      with what is known of a client, and what to expect

The terms are those of ISO 8559-1, from memory.";

/// Below the options of `cloth`.
pub const CLOTH: &str = "\
Examples:
  chalkstripe cloth my-client.toml               by width and layout, and the other materials
  chalkstripe cloth my-client.toml --have 3.2m   is that enough, and if not what would do
  chalkstripe cloth my-client.toml --have 1.8m+1.6m --out out   of two pieces; with the lay
  chalkstripe cloth orders/                      a season's orders, a line each

Lengths hold the ends and the shrinkage and are rounded up to the merchant's step. Check the
cloth's own width, repeat and shrinkage before you order.";

/// Below the options of `lay`.
pub const LAY: &str = "\
Examples:
  chalkstripe lay my-client.toml                 20 seconds; into out/my-client/
  chalkstripe lay my-client.toml --seconds 120   a longer search
  chalkstripe lay my-client.toml --seed 7        another start
  chalkstripe lay a.toml b.toml --together       two orders of one cloth in one lay

Ctrl-C ends the search and writes the best lay so far. The same seed gives the same lay only in
the same rounds (chalkstripe cut --rounds), not in the same seconds.";

/// Below the options of `schema`.
pub const SCHEMA: &str = "\
Example:
  chalkstripe schema > order.schema.json

and as the first line of an order:  #:schema ./order.schema.json";

/// Below the options of `completions`.
pub const COMPLETIONS: &str = "\
Examples:
  chalkstripe completions bash > ~/.local/share/bash-completion/completions/chalkstripe
  chalkstripe completions fish > ~/.config/fish/completions/chalkstripe.fish
  chalkstripe completions zsh > _chalkstripe       (in a folder of your fpath)";

/// Below the options of `manual`.
pub const MANUAL: &str = "\
Example:
  chalkstripe manual ~/.local/share/man/man1       then: man chalkstripe";
