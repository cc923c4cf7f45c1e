//! The text that `--help` shows below the options: a way to begin, examples, exit codes. No line is longer than
//! a terminal is wide, so that the columns of the examples stay.

use chalkstripe::diagnostic::Diagnostic;

/// Below the list of commands.
pub(super) const PROGRAM: &str = "\
A first order:
  chalkstripe talk my-client.toml    settle it with the client, on a page
  chalkstripe new my-client.toml     or a starter order to fill in
  chalkstripe check my-client.toml   what is wrong, unlikely or derived
  chalkstripe cloth my-client.toml   how much to order
  chalkstripe cut my-client.toml     the pattern, lay and ticket: out/my-client/

Exit codes, of every command:
  0    no errors (there may be warnings)
  2    an error in an order or on the command line; an order with an error
       writes nothing, and the others are still done
  130  stopped with Ctrl-C; what was written is complete (a talk ends with 0)

Errors and warnings go to the standard error, results to the standard output.
Colour is used on a terminal unless NO_COLOR is set.

Plotters, powered cutters, knives and shears can injure: follow the machine's
manual and the local rules, and leave powered cutting to people who are trained
for it.";

/// Below the options of `new`.
pub(super) const NEW: &str = "\
Examples:
  chalkstripe new my-client.toml     write it, unless the file exists
  chalkstripe new > my-client.toml   print it instead

Then replace the measures with the client's, delete the # before what you
choose, and run `chalkstripe check`.";

/// Below the options of `measures`.
pub(super) const MEASURES: &str = "\
Examples:
  chalkstripe measures                          every measure, as text
  chalkstripe measures trousers                 those that trousers need
  chalkstripe measures --pdf measures.pdf       a page to print and write on
  chalkstripe measures --order my-client.toml   with those of the order, and
                                                what to expect of the others

Measures with a * must be taken; the others can be derived from them, and the
ticket says which were. The terms are those of ISO 8559-1, from memory.";

/// Below the options of `check`.
pub(super) const CHECK: &str = "\
Examples:
  chalkstripe check my-client.toml   one order
  chalkstripe check orders/          every order in a folder: a line each,
                                     the errors, and a total

In the table of measures, `expected` is what this client's other measures make
likely. A warning is worth a second look; it does not change the exit code.";

/// Below the options of `swatch`.
pub(super) const SWATCH: &str = "\
Examples:
  chalkstripe swatch my-client.toml              my-client-swatch.png
  chalkstripe swatch my-client.toml navy.png     another name

The cloth is described under [cloth]: by its threads, or by a picture of it.
Print the swatch at 100 % and hold it beside the piece, in daylight: a screen
and a printer change colours.";

/// Below the options of `cloth`.
pub(super) const CLOTH: &str = "\
Examples:
  chalkstripe cloth my-client.toml               by width and layout, and the
                                                 linings and the rest
  chalkstripe cloth my-client.toml --have 3.2m   is that enough? what would be?
  chalkstripe cloth my-client.toml --have 1.8m+1.6m --out out
                                                 two pieces, and the lay
  chalkstripe cloth orders/                      a season's orders, a line each

Lengths include the ends and the shrinkage and are rounded up to the merchant's
step. Check the cloth's own width, repeat and shrinkage before you order. If
cloth in stock is not enough, that is an answer, not an error: the exit code
is 0.

Plotters, powered cutters, knives and shears can injure: follow the machine's
manual and the local rules, and leave powered cutting to people who are trained
for it.";

/// Below the options of `cut`.
pub(super) const CUT: &str = "\
Examples:
  chalkstripe cut my-client.toml                      onto A4
  chalkstripe cut my-client.toml --paper roll:914mm   onto a roll 914 mm wide
  chalkstripe cut my-client.toml --only jacket        print the jacket only
  chalkstripe cut my-client.toml --plot short         plots of at most 819 mm
  chalkstripe cut my-client.toml --rounds 300         a longer search
  chalkstripe cut orders/ --out cut                   every order in a folder

Print at 100 % and measure the test square on the first page before you cut.

Ctrl-C ends the search and writes the best lay so far; a second Ctrl-C stops at
once. Earlier sheets are kept until the new ones are finished.

Plotters, powered cutters, knives and shears can injure: follow the machine's
manual and the local rules, and leave powered cutting to people who are trained
for it.";

/// Below the options of `lay`.
pub(super) const LAY: &str = "\
Examples:
  chalkstripe lay my-client.toml                 20 seconds
  chalkstripe lay my-client.toml --seconds 120   a longer search
  chalkstripe lay my-client.toml --seed 7        a different search
  chalkstripe lay a.toml b.toml --together       orders of one cloth in one lay
  chalkstripe lay *.toml --together --table 6m   in sections that fit a table

It starts from the earlier lay and keeps the shorter. After `cut` it writes
every sheet again, with the same options unless you give others; if nothing was
cut, it writes the lay only (and lay.json, from which the next run goes on).

Ctrl-C ends the search and writes the best lay so far. The same seed gives the
same lay for the same number of rounds (`chalkstripe cut --rounds`), but not for
the same number of seconds.

Plotters, powered cutters, knives and shears can injure: follow the machine's
manual and the local rules, and leave powered cutting to people who are trained
for it.";

/// Below the options of `draft`.
pub(super) const DRAFT: &str = "\
Examples:
  chalkstripe draft my-client.toml                    every garment of the order
  chalkstripe draft my-client.toml --garment jacket   the jacket only
  chalkstripe draft my-client.toml --against 0        what moves, compared with
                                                      the first cut

It writes drafting-sheet.pdf (A3; print at 100 % and measure the bar on the
page), drafting-sheet.svg and the made-up views, beside the sheets of an earlier
`cut`.";

/// Below the options of `talk`.
pub(super) const TALK: &str = "\
Examples:
  chalkstripe talk lantry.toml               a new order, or one begun
  chalkstripe talk lantry.toml --no-browser  print the address only

The first line that it prints is the address of the page, with a key: only
this machine can open it. Each answer is written into the order at once, its
comments kept; what is changed in an editor appears on the page. Ctrl-C ends
the talk, and nothing is lost.";

/// Below the options of `next`.
pub(super) const NEXT: &str = "\
Examples:
  chalkstripe next spring.toml autumn.toml   write it, unless the file
                                             exists
  chalkstripe next spring.toml               print it instead
  chalkstripe check autumn.toml              what is still to be chosen

Every choice of the earlier order is empty in the new one, with what it was
beside it. What the fittings showed is kept, so that the new draft starts from
it.";

/// Below the options of `blocks`.
pub(super) const BLOCKS: &str = "\
Examples:
  chalkstripe blocks                               every choice of every garment
  chalkstripe blocks jacket lapel                  one choice
  chalkstripe blocks jacket --pictures pictures    drawn, as a page:
                                                   pictures/jacket.html
  chalkstripe blocks jacket --pictures pictures --order my-client.toml
                                                   on this client, in his cloth
  chalkstripe blocks --blocks my-blocks            with your own blocks
  chalkstripe blocks --scripts program             the program's own scripts,
                                                   to build on";

/// Below the options of `try`.
pub(super) const TRY: &str = "\
Examples:
  chalkstripe try overcoat                          a garment of the program's
  chalkstripe try --blocks my-blocks ulster         one of your own
  chalkstripe try overcoat --picture extremes.svg   drawn on the slightest, the
                                                    tallest, the stoutest

What is refused with a reason is no failure. The exit code is 2 where anything
failed. Ctrl-C tells what was tried so far.";

/// Below the options of `schema`.
pub(super) const SCHEMA: &str = "\
Example:
  chalkstripe schema > order.schema.json

and as the first line of an order:  #:schema ./order.schema.json";

/// Below the options of `completions`.
pub(super) const COMPLETIONS: &str = "\
Examples:
  chalkstripe completions fish > ~/.config/fish/completions/chalkstripe.fish
  chalkstripe completions zsh > _chalkstripe     in a folder of your fpath
  chalkstripe completions bash > chalkstripe     in bash-completion/completions
                                                 of ~/.local/share";

/// Below the options of `manual`.
pub(super) const MANUAL: &str = "\
Example:
  chalkstripe manual ~/.local/share/man/man1     then: man chalkstripe";

/// Tells a user that an order was named where a command should be.
pub(super) fn file_for_a_command(file: &str) -> Diagnostic {
    Diagnostic::error(format!("`{file}` is a file, and the command comes first"))
        .help(format!("`chalkstripe check {file}` reads it"))
        .help(format!(
            "`chalkstripe cut {file}` drafts, lays and draws it"
        ))
}
