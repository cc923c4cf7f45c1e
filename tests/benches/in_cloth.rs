//! How long garments take to be shown in their cloth: `cargo bench --bench in_cloth`.

use chalkstripe::diagnostic::Source;
use chalkstripe::job;
use chalkstripe::lay::{Effort, Search};
use chalkstripe::made_up::Facing;
use chalkstripe::order;
use chalkstripe::sheets::drawing::Ink;
use chalkstripe::sheets::in_cloth::InCloth;
use chalkstripe::sheets::views;
use chalkstripe::workshop::Workshop;
use std::path::Path;
use std::time::Instant;

fn main() {
    let text = include_str!("../../examples/check-side-vents.toml").to_owned() + "\n[waistcoat]\n";
    let source = Source::new("check.toml", text);
    let order = order::parse("check", &source, Path::new(""))
        .expect("a good order")
        .order;
    let drafted = job::draft(Workshop::embedded(), &order).expect("a proven pattern");
    let search = Search {
        effort: Effort::Rounds(1),
        ..Search::default()
    };
    let lays = job::lay(&order, &drafted.pattern, &search).expect("a lay");
    let on = |threads: usize, what: &str, run: &(dyn Fn() + Sync)| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("threads");
        let timed = || {
            let begun = Instant::now();
            pool.install(run);
            1e3 * begun.elapsed().as_secs_f64()
        };
        let best = (0..10).map(|_| timed()).fold(f64::INFINITY, f64::min);
        println!("{what}, {threads} threads: {best:.1} ms");
    };
    let cloth = || InCloth::new(&order, &drafted.drafts, &drafted.pattern, &lays).expect("a cloth");
    on(1, "the cloth made ready", &|| drop(cloth()));
    let ready = cloth();
    let smaller = 0.2 * (600.0 * 900.0 / size(&ready, 0.2)[0]).sqrt();
    for scale in [0.2, smaller] {
        let [pixels, height] = size(&ready, scale);
        let what = format!("front of the jacket, {:.0} x {height:.0}", pixels / height);
        on(1, &what, &|| drop(ready.view(0, Facing::Front, scale)));
    }
    on(2, "all views of three garments", &|| {
        drop(views::of_order(&drafted.drafts, Some(&ready)));
    });
}

/// Returns how many pixels the front of the jacket has at a scale, and how many down.
fn size(ready: &InCloth, scale: f64) -> [f64; 2] {
    let view = ready.view(0, Facing::Front, scale).expect("a view");
    let painted = view.items.iter().find_map(|item| match &item.ink {
        Ink::Painted(painted) => Some(&painted.picture),
        _ => None,
    });
    let picture = painted.expect("a picture of the cloth");
    [picture.width * picture.height, picture.height].map(|pixels| pixels as f64)
}
