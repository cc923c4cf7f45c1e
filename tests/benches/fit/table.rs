//! The table of one mode.

use super::dimensions::{DIMENSIONS, Dimension, Fit};

/// The heads of the rows.
pub(crate) fn head() {
    println!("{:<25}mode  mean    sd    p1   p99  below     r beyond", "");
}

/// Prints the rows of one mode, and what is known of its men.
pub(crate) fn told(mode: &str, men: &[Fit]) {
    for dimension in DIMENSIONS {
        let row = row(dimension, men);
        if let Some(row) = row {
            println!("{:<25}{mode:<4}{row}", dimension.name);
        }
    }
    let smaller = |name: &str| {
        let of = |fit: &&Fit| fit.draft.get(name) < fit.body.get(name);
        men.iter().filter(of).count()
    };
    println!(
        "{mode}: {} men; {} have a sleeve, {} a leg smaller than the limb",
        men.len(),
        smaller("sleeve girth"),
        smaller("thigh")
    );
}

/// Prints of how many men, and of how many of the worst twentieth, the order says that too little is known.
pub(crate) fn doubted(men: &[Fit]) {
    let mut by_misfit: Vec<&Fit> = men.iter().collect();
    by_misfit.sort_by(|a, b| b.worst().total_cmp(&a.worst()));
    let worst = &by_misfit[..men.len() / 20];
    let doubted = |of: &[&Fit]| share(of, |fit| fit.doubted);
    println!(
        "too little is known of {:.1} % of the men, {:.0} % of the worst twentieth, {:.0} % of the misfits",
        doubted(&by_misfit),
        doubted(worst),
        doubted(&by_misfit[..by_misfit.iter().filter(|fit| fit.is_misfit()).count()])
    );
}

/// The percentage of some men for whom something holds.
pub(crate) fn share<T>(men: &[T], holds: impl Fn(&T) -> bool) -> f64 {
    100.0 * men.iter().filter(|fit| holds(fit)).count() as f64 / men.len().max(1) as f64
}

fn row(dimension: &Dimension, men: &[Fit]) -> Option<String> {
    let mut over: Vec<f64> = Vec::new();
    let (mut drafts, mut bodies, mut levelled) = (Vec::new(), Vec::new(), Vec::new());
    let mut beyond = 0;
    for fit in men {
        let (draft, body) = fit.pair(dimension)?;
        over.push(draft - body);
        levelled.push(fit.over(dimension)?);
        drafts.push(draft);
        bodies.push(body);
        beyond += usize::from(fit.tolerances_off(dimension).is_some_and(|off| off > 2.0));
    }
    if men.is_empty() {
        return None;
    }
    over.sort_by(f64::total_cmp);
    let (mean, sd) = spread(&over);
    let at = |part: f64| over[(part * (over.len() - 1) as f64).round() as usize];
    let below = share(&levelled, |mm| *mm < dimension.least);
    let beyond = dimension.tolerance.map_or(String::new(), |_| {
        format!("{:>5.1} %", 100.0 * beyond as f64 / men.len() as f64)
    });
    Some(format!(
        "{mean:>6.1}{sd:>6.1}{:>6.0}{:>6.0}{below:>5.1} %{:>6.2}{beyond}",
        at(0.01),
        at(0.99),
        correlation(&drafts, &bodies)
    ))
}

/// The correlation of two lists; 0 where one of them is constant.
fn correlation(x: &[f64], y: &[f64]) -> f64 {
    let ((x_mean, x_sd), (y_mean, y_sd)) = (spread(x), spread(y));
    let both = x.iter().zip(y).map(|(x, y)| (x - x_mean) * (y - y_mean));
    if x_sd * y_sd < 1e-9 {
        return 0.0;
    }
    both.sum::<f64>() / x.len() as f64 / x_sd / y_sd
}

/// Mean and standard deviation.
fn spread(values: &[f64]) -> (f64, f64) {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let variance = values.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / count;
    (mean, variance.sqrt())
}
