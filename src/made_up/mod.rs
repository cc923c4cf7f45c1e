//! Shows the garment made up: the place of each point of each piece on the figure that wears it, from the
//! front and from the back, with the seams closed and the lapel turned over.
//!
//! A view depends only on what the pieces are declared to be ([`Form`]), and is complete or absent. It is
//! data: regions, lines and buttons, each of which covers those before it. Lengths are in mm; x runs from
//! the middle of the figure to the viewer's right, y down from the nape.

mod arm;
mod back;
mod collar;
mod ellipse;
mod front;
mod half_belt;
mod half_leg;
mod hand;
mod inside;
mod legs;
mod levels;
mod lines;
mod mesh;
mod patch;
mod pockets;
mod ruled;
mod shifts;
mod shown;
mod sleeve;
mod sleeve_pieces;
mod trousers;
mod trunk;
mod waistband;
mod waistcoat;

use crate::draft::{Draft, Form};
use hand::Hand;
pub use hand::closed;
pub use lines::along;
pub use patch::{Corner, Patch};
pub use shown::{CLOTH, Facing, Filled, Shade, Shown, Stroke};

/// Returns what is seen of a garment; `None` when its pieces are not declared to be the parts of a form, or when
/// there is nothing to be seen in that way: the inside of trousers, the open vents of a back without sprung ones.
pub fn view(draft: &Draft, facing: Facing) -> Option<Vec<Shown>> {
    let draft = &draft.as_drawn();
    let mut shown = Vec::new();
    let mut hand = Hand::new(&mut shown);
    // An error cannot occur here: a draft with an incomplete form is refused as soon as its block has run.
    let form = Form::of(draft).ok()??;
    match (form, facing) {
        (Form::Coat, Facing::Front) => front::draw(draft, &mut hand),
        (Form::Coat, Facing::Back) => back::draw(draft, &mut hand),
        (Form::Coat, Facing::BackOpen) => back::draw_open(draft, &mut hand),
        (Form::Coat, Facing::Inside) => inside::draw(draft, &mut hand),
        (Form::Waistcoat, Facing::Front) => waistcoat::front(draft, &mut hand),
        (Form::Waistcoat, Facing::Back) => waistcoat::back(draft, &mut hand),
        (Form::Trousers, Facing::Front) => trousers::front(draft, &mut hand),
        (Form::Trousers, Facing::Back) => trousers::back(draft, &mut hand),
        (Form::Waistcoat | Form::Trousers, Facing::BackOpen | Facing::Inside) => None,
    }?;
    Some(shown)
}
