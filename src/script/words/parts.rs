//! The part that a piece is of the garment as it is worn, and the roles of its edges there.

use super::choice::choices;
use super::pieces::Piece;
use crate::draft::{NotchId, Part, Player, Role, Seen};
use crate::script::numbers::{Made, fault, source};
use rhai::{Array, Dynamic, Engine, Map, NativeCallContext};

fn part(ctx: &NativeCallContext, word: &str) -> Made<Part> {
    let found = Part::ALL.iter().find(|part| part.word() == word);
    found.copied().ok_or_else(|| {
        let all = choices(word, Part::ALL.iter().map(|part| part.word()));
        fault(ctx, format!("no garment has a part '{word}'; {all}"))
    })
}

fn role(ctx: &NativeCallContext, part: Part, word: &str) -> Made<Role> {
    let (must, may) = part.roles();
    let mut roles = must.iter().chain(may);
    let found = roles.find(|role| role.word() == word);
    found.copied().ok_or_else(|| {
        let all = choices(word, must.iter().chain(may).map(|role| role.word()));
        let part = part.word();
        fault(ctx, format!("a '{part}' has no role '{word}'; {all}"))
    })
}

/// Resolves the name of a notch.
fn notch(ctx: &NativeCallContext, p: &Piece, name: &str) -> Made<NotchId> {
    p.read(|piece| {
        piece.notch_named(name).ok_or_else(|| {
            let all = choices(name, piece.notches.iter().map(|n| n.name.as_str()));
            let text = format!("the {} has no notch '{name}'; {all}", piece.name);
            fault(ctx, text)
        })
    })
}

/// Resolves the players of a role, given as one name or as a list of them.
fn players(
    ctx: &NativeCallContext,
    p: &Piece,
    role: Role,
    names: Dynamic,
) -> Made<Vec<(Role, Player)>> {
    let names = match names.clone().try_cast::<Array>() {
        Some(names) => names,
        None => vec![names],
    };
    let named = names.into_iter().map(|name| {
        let name = name.into_immutable_string().map_err(|kind| {
            let word = role.word();
            let text = format!("'{word}' needs a name or a list of names, not {kind}");
            fault(ctx, text)
        })?;
        let player = match role.is_notch() {
            true => Player::Notch(notch(ctx, p, &name)?),
            false => Player::Edge(p.edge(ctx, &name)?),
        };
        Ok((role, player))
    });
    named.collect()
}

/// Declares the part that a piece is, when no role of it is an edge of this piece.
fn seen_as_alone(ctx: NativeCallContext, p: &mut Piece, word: &str) -> Made<Piece> {
    seen_as(ctx, p, word, Map::new())
}

/// Declares the part that a piece is, with the edges and notches that play its roles.
fn seen_as(ctx: NativeCallContext, p: &mut Piece, word: &str, roles: Map) -> Made<Piece> {
    let part = part(&ctx, word)?;
    let mut seen = Seen {
        part,
        roles: Vec::new(),
        source: source(&ctx),
    };
    for (played, names) in roles {
        let role = role(&ctx, part, &played)?;
        seen.roles.extend(players(&ctx, p, role, names)?);
    }
    let given = |role: &Role| seen.roles.iter().any(|(own, _)| own == role);
    if let Some(lacking) = part.roles().0.iter().find(|role| !given(role)) {
        let (role, name) = (lacking.word(), p.read(|piece| piece.name.clone()));
        let text = format!("a '{word}' needs the role '{role}': which edge of the {name} has it?");
        return Err(fault(&ctx, text));
    }
    Ok(p.change(|piece| piece.seen = Some(seen)))
}

/// Adds a role that only some styles have.
fn plays(ctx: NativeCallContext, p: &mut Piece, word: &str, names: Dynamic) -> Made<Piece> {
    let Some(part) = p.read(|piece| piece.seen.as_ref().map(|seen| seen.part)) else {
        let name = p.read(|piece| piece.name.clone());
        let text = format!("say first what the {name} is: .seen_as(part, #{{ roles }})");
        return Err(fault(&ctx, text));
    };
    let role = role(&ctx, part, word)?;
    let more = players(&ctx, p, role, names)?;
    Ok(p.change(|piece| {
        if let Some(seen) = &mut piece.seen {
            seen.roles.extend(more);
        }
    }))
}

pub(super) fn register(engine: &mut Engine) {
    engine.register_fn("seen_as", seen_as);
    engine.register_fn("seen_as", seen_as_alone);
    engine.register_fn("plays", plays);
}
