//! The kinds of inner marks. How a mark is drawn, what it asks for after a fitting and how a view shows it
//! follow from its kind, never from its name.

/// The symbol that a mark is drawn by; it decides the layer on which the mark is cut or plotted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Symbol {
    /// A line to fold or crease along.
    Fold,
    /// A line to place or sew to.
    Place,
    /// A line to cut.
    Cut,
    /// A line of reference.
    Level,
    /// A buttonhole, drawn at its length.
    Buttonhole,
    /// The centre of a button.
    Button,
    /// A point to drill or mark with thread.
    Drill,
}

/// Declares each kind once, with its meaning, its word in scripts and its symbol.
macro_rules! kinds {
    ($($(#[doc = $about:literal])+ $kind:ident $word:literal $symbol:ident,)+) => {
        /// The kind of an inner mark.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum MarkKind {
            $($(#[doc = $about])+ $kind,)+
        }

        impl MarkKind {
            /// Every kind, in the order of the list for developers.
            pub const ALL: &'static [Self] = &[$(Self::$kind),+];

            /// Returns the word for it in a script: `pocket_mouth`.
            pub fn word(self) -> &'static str {
                match self { $(Self::$kind => $word,)+ }
            }

            /// Returns the symbol it is drawn by.
            pub fn symbol(self) -> Symbol {
                match self { $(Self::$kind => Symbol::$symbol,)+ }
            }
        }
    };
}

kinds! {
    /// The mouth of a pocket that is cut into the piece.
    PocketMouth "pocket_mouth" Place,
    /// The mouth of a pocket that is the piece's own edge once it is cut there.
    CutMouth "cut_mouth" Cut,
    /// The outline of a welt over the mouth of its pocket.
    Welt "welt" Place,
    /// The outline of a patch pocket that is sewn on.
    Patch "patch" Place,
    /// The line that a flap is sewn on along.
    Flap "flap" Place,
    /// A dart: one of its legs, or both with its point between them.
    Dart "dart" Place,
    /// A wedge that is cut out of a seam and sewn up: both its sides with its point between them.
    Wedge "wedge" Place,
    /// A line to cut open.
    Slash "slash" Cut,
    /// A line of stitches that is seen.
    Stitching "stitching" Place,
    /// A lapel or collar that is sewn on, as its outline lies on the piece.
    Lapel "lapel" Place,
    /// A buttonhole that is seen.
    Buttonhole "buttonhole" Buttonhole,
    /// A buttonhole whose button is worn undone.
    OpenButtonhole "open_buttonhole" Buttonhole,
    /// A buttonhole that is covered when the garment is worn.
    InnerButtonhole "inner_buttonhole" Buttonhole,
    /// The eye of a buttonhole.
    Eye "eye" Place,
    /// A button that is seen.
    Button "button" Button,
    /// A button that is covered when the garment is worn.
    InnerButton "inner_button" Button,
    /// Any other fold: of a welt, a jet, a curtain.
    Fold "fold" Fold,
    /// The line about which a lapel is turned over.
    RollLine "roll_line" Fold,
    /// The edge along which a vent hangs closed, on a body or a sleeve.
    VentFold "vent_fold" Fold,
    /// The seam line of a vent's underlap, which is not folded: the vent hangs closed along it.
    VentSeam "vent_seam" Place,
    /// The crease that is pressed into a leg, or that a collar turns over.
    Crease "crease" Fold,
    /// The fold of a pleat.
    Pleat "pleat" Fold,
    /// The line that the fold of a pleat is laid to.
    PleatLaid "pleat_laid" Place,
    /// The foot of a turn-up, where the leg ends when it is worn.
    TurnUpFoot "turn_up_foot" Fold,
    /// The upper edge of a turn-up, before it is folded up.
    TurnUpTop "turn_up_top" Fold,
    /// The place where a strap or tab is sewn on.
    Strap "strap" Place,
    /// The tab that holds the buckle of a strap.
    Buckle "buckle" Place,
    /// The outline of a row of braid that is sewn on over a seam, as far as it lies on the piece.
    Braid "braid" Place,
    /// A loop for a belt.
    Loop "loop" Place,
    /// A zip.
    Zip "zip" Place,
    /// The place where the centre front of the piece it is sewn to comes.
    MeetsFront "meets_front" Place,
    /// The place where the side seam of the piece it is sewn to comes.
    MeetsSide "meets_side" Place,
    /// The line on which two fronts lie over each other.
    CentreFront "centre_front" Level,
    /// The level of the chest.
    ChestLine "chest_line" Level,
    /// The level of the waist.
    WaistLine "waist_line" Level,
    /// The level at which the legs part.
    ForkLine "fork_line" Level,
    /// Any other line of reference.
    Level "level" Level,
    /// A point to drill or mark with thread: the end of a pocket, the point of a dart.
    Drill "drill" Drill,
}

#[cfg(test)]
mod tests {
    use super::MarkKind;

    #[test]
    fn every_kind_has_a_word_of_its_own() {
        for (i, kind) in MarkKind::ALL.iter().enumerate() {
            let before = &MarkKind::ALL[..i];
            assert!(before.iter().all(|other| other.word() != kind.word()));
        }
    }
}
