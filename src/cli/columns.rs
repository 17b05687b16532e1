//! `--columns`: which columns of a table, and in which order.

use super::Failure;
use crate::kit::nearest;
use tumpline_core::text::clean;

/// The places in `all` of the names in `asked`, which commas part. A name that
/// is not there, or twice, is a fault, and all of them are reported at once; `help`
/// tells the names.
pub(super) fn pick(asked: &str, all: &[&str]) -> Result<Vec<usize>, Failure> {
    let names = all.join(", ");
    if asked.trim() == "help" {
        return Err(Failure::Usage(format!("`--columns` takes: {names}")));
    }
    let (mut picked, mut wrong) = (Vec::new(), Vec::new());
    for name in asked.split(',').map(str::trim) {
        match all.iter().position(|n| *n == name) {
            Some(place) if picked.contains(&place) => {
                wrong.push(format!("column `{name}` is asked for twice"));
            }
            Some(place) => picked.push(place),
            None => {
                let near = nearest(name, all.iter().copied());
                let near = near.map_or(String::new(), |n| format!("; did you mean `{n}`?"));
                wrong.push(format!("there is no column `{}`{near}", clean(name)));
            }
        }
    }
    if wrong.is_empty() {
        return Ok(picked);
    }
    Err(Failure::Usage(format!("{}\n  the columns are {names}", wrong.join("\nerror: "))))
}

#[cfg(test)]
mod tests {
    use super::pick;

    const ALL: [&str; 3] = ["id", "name", "mass"];

    #[test]
    fn columns_come_in_the_order_asked_for() {
        assert_eq!(pick("mass, id", &ALL).unwrap(), [2, 0]);
    }

    #[test]
    fn every_wrong_name_is_told_with_what_was_meant() {
        let told = pick("mas,id,id,colour\u{1b}", &ALL).unwrap_err().to_string();
        for part in
            ["did you mean `mass`?", "`id` is asked for twice", "colour\\u{1b}", "id, name, mass"]
        {
            assert!(told.contains(part), "{told}");
        }
        assert!(pick("help", &ALL).unwrap_err().to_string().contains("id, name, mass"));
        assert!(pick("", &ALL).is_err());
    }
}
