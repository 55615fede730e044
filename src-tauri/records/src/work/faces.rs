//! Post faces that are drilled alike: on screen, in the handover and on the template.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::holes::HoleLine;
use crate::ids::ItemId;

/// Heights and sizes closer than this are one, mm: a nanometre, as lengths are recorded.
const ALIKE_MM: f64 = 1e-6;

/// One face of one post.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct HoleFace {
    /// The post.
    pub post: ItemId,
    /// Its name.
    pub post_name: String,
    /// The neighbour that the face looks to.
    pub face: String,
}

/// Faces that carry the same holes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct FaceGroup {
    /// Which they are, without the word post: "A1 towards A2", "A2, A4, A5, both faces".
    pub title: String,
    /// The faces, in the order of the run.
    pub faces: Vec<HoleFace>,
}

impl FaceGroup {
    /// The holes that each of the faces has, told by the first one's lines.
    pub fn holes<'a>(&self, holes: &'a [HoleLine]) -> Vec<&'a HoleLine> {
        self.faces
            .first()
            .map(|face| of_face(holes, face))
            .unwrap_or_default()
    }
}

/// Groups the faces of a schedule by what is drilled into them: the same heights, sizes, depths,
/// hands and slopes of the drill. On a rake the two faces of a post differ, and so stand apart.
#[must_use]
pub fn faces_alike(holes: &[HoleLine]) -> Vec<FaceGroup> {
    let mut groups: Vec<FaceGroup> = Vec::new();
    for face in faces(holes) {
        let own = of_face(holes, &face);
        let known = groups.iter_mut().find(|group| {
            let theirs = group.holes(holes);
            theirs.len() == own.len() && theirs.iter().zip(&own).all(|(a, b)| same(a, b))
        });
        match known {
            Some(group) => group.faces.push(face),
            None => groups.push(FaceGroup {
                title: String::new(),
                faces: vec![face],
            }),
        }
    }
    for group in &mut groups {
        group.title = title(&group.faces);
    }
    groups
}

/// Every face once, in the order of its first hole.
fn faces(holes: &[HoleLine]) -> Vec<HoleFace> {
    let mut found: Vec<HoleFace> = Vec::new();
    for hole in holes {
        let face = HoleFace {
            post: hole.post,
            post_name: hole.post_name.clone(),
            face: hole.face.clone(),
        };
        if !found.contains(&face) {
            found.push(face);
        }
    }
    found
}

fn of_face<'a>(holes: &'a [HoleLine], face: &HoleFace) -> Vec<&'a HoleLine> {
    holes
        .iter()
        .filter(|h| h.post == face.post && h.face == face.face)
        .collect()
}

fn same(a: &HoleLine, b: &HoleLine) -> bool {
    let close = |x: f64, y: f64| (x - y).abs() < ALIKE_MM;
    a.wire == b.wire
        && a.through == b.through
        && a.hand == b.hand
        && close(a.height_mm, b.height_mm)
        && close(a.aside_mm, b.aside_mm)
        && close(a.diameter_mm, b.diameter_mm)
        && close(a.depth_mm, b.depth_mm)
        && close(a.rise_deg, b.rise_deg)
}

/// "A1 towards A2", "A2, A4, both faces", "A1 towards A2; A3, both faces".
fn title(faces: &[HoleFace]) -> String {
    let both = |post: ItemId| faces.iter().filter(|f| f.post == post).count() > 1;
    let mut posts: Vec<&HoleFace> = Vec::new();
    for face in faces {
        if !both(face.post) || !posts.iter().any(|p| p.post == face.post) {
            posts.push(face);
        }
    }
    if posts.iter().all(|p| both(p.post)) {
        let names: Vec<&str> = posts.iter().map(|p| p.post_name.as_str()).collect();
        return format!("{}, both faces", names.join(", "));
    }
    let names: Vec<String> = posts
        .iter()
        .map(|p| match both(p.post) {
            true => format!("{}, both faces", p.post_name),
            false => format!("{} {}", p.post_name, p.face),
        })
        .collect();
    names.join("; ")
}

#[cfg(test)]
mod tests {
    use super::{HoleLine, faces_alike};
    use crate::ids::{Hash, Id, ItemId};
    use crate::model::values::Hand;

    fn hole(post: ItemId, name: &str, face: &str, height_mm: f64, hand: Option<Hand>) -> HoleLine {
        HoleLine {
            post,
            post_name: name.to_owned(),
            face: face.to_owned(),
            wire: 1,
            height_mm,
            aside_mm: 0.0,
            diameter_mm: 7.0,
            depth_mm: 90.0,
            through: hand.is_none(),
            hand,
            rise_deg: 0.0,
            drilled_below_mm: None,
            planned_below_mm: None,
            planned_below_square_mm: None,
        }
    }

    fn titles(holes: &[HoleLine]) -> Vec<String> {
        faces_alike(holes).into_iter().map(|g| g.title).collect()
    }

    fn post(n: u8) -> ItemId {
        ItemId(Id::from_hash(&Hash::of(&[n])))
    }

    #[test]
    fn posts_alike_stand_under_one_title_and_hands_apart() {
        let (lh, rh) = (Some(Hand::Left), Some(Hand::Right));
        let holes = [
            hole(post(1), "A1", "towards A2", 76.0, lh),
            hole(post(2), "A2", "towards A1", 76.0, None),
            hole(post(2), "A2", "towards A3", 76.0, None),
            hole(post(3), "A3", "towards A2", 76.0, None),
            hole(post(3), "A3", "towards A4", 76.0, None),
            hole(post(4), "A4", "towards A3", 76.0, rh),
        ];
        assert_eq!(
            titles(&holes),
            ["A1 towards A2", "A2, A3, both faces", "A4 towards A3"]
        );
        let groups = faces_alike(&holes);
        let faces: usize = groups.iter().map(|g| g.faces.len()).sum();
        assert_eq!(faces, holes.len(), "every face stands somewhere, once");
        assert_eq!(groups[1].holes(&holes), [&holes[1]]);
    }

    #[test]
    fn the_two_faces_of_a_rake_and_a_tenth_of_a_millimetre_stand_apart() {
        let holes = [
            hole(post(1), "B1", "towards B2", 125.0, None),
            hole(post(1), "B1", "towards B0", 61.0, None),
            hole(post(2), "B2", "towards B3", 125.1, None),
            hole(post(3), "B3", "towards B4", 125.0, None),
        ];
        assert_eq!(
            titles(&holes),
            [
                "B1 towards B2; B3 towards B4",
                "B1 towards B0",
                "B2 towards B3"
            ]
        );
    }

    #[test]
    fn two_posts_of_one_name_are_two_posts() {
        let holes = [
            hole(post(1), "A2", "towards A1", 76.0, None),
            hole(post(2), "A2", "towards A3", 76.0, None),
        ];
        assert_eq!(titles(&holes), ["A2 towards A1; A2 towards A3"]);
    }
}
