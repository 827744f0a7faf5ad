//! Feeds: what a dose gives of each element, and the dose for a wanted strength.
//!
//! `mg/L = grams per litre × per cent × 10`, the metric form of what extension leaflets print. A label tells
//! phosphate, potash, magnesia and sulphur trioxide by law of most countries; plants and tables count elements.

use crate::sheets::mix::{FeedLabel, MixKind, MixSheet};
use crate::units::{Amount, Density, Dose, Mass, MassUnit, Volume, VolumeUnit};

/// A nutrient, counted as the element.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Element {
    /// N.
    Nitrogen,
    /// P.
    Phosphorus,
    /// K.
    Potassium,
    /// Mg.
    Magnesium,
    /// S.
    Sulphur,
}

impl Element {
    /// All of them, in the order of a label.
    pub const ALL: [Element; 5] = [
        Element::Nitrogen,
        Element::Phosphorus,
        Element::Potassium,
        Element::Magnesium,
        Element::Sulphur,
    ];

    /// Its chemical symbol.
    pub fn symbol(self) -> &'static str {
        match self {
            Element::Nitrogen => "N",
            Element::Phosphorus => "P",
            Element::Potassium => "K",
            Element::Magnesium => "Mg",
            Element::Sulphur => "S",
        }
    }
}

/// Abridged standard atomic weights 2021, g/mol (IUPAC Commission on Isotopic Abundances and Atomic Weights;
/// from memory).
mod weight {
    pub(super) const O: f64 = 15.999;
    pub(super) const P: f64 = 30.974;
    pub(super) const K: f64 = 39.098;
    pub(super) const MG: f64 = 24.305;
    pub(super) const S: f64 = 32.06;
}

/// A feed with its label.
#[derive(Clone, Copy, Debug)]
pub struct Feed<'a> {
    /// The sheet it stands on.
    pub sheet: &'a MixSheet,
    label: FeedLabel,
    density: Option<Density>,
    dose: Option<Dose>,
}

/// Why a strength or a dose cannot be said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unknown {
    /// The sheet has no dose.
    NoDose,
    /// The dose is measured by volume, and a label's per cent are by weight: the density is wanted.
    NoDensity,
    /// There is none of the element in it.
    NotInIt,
    /// A stock solution would have to hold more of it than there is room.
    TooThin,
}

impl<'a> Feed<'a> {
    /// The feed of a sheet, if it is that of a feed.
    pub fn of(sheet: &'a MixSheet) -> Option<Feed<'a>> {
        match &sheet.is {
            MixKind::Feed { label, density, dose } => {
                Some(Feed { sheet, label: *label, density: *density, dose: *dose })
            }
            MixKind::Mix { .. } => None,
        }
    }

    pub fn label(&self) -> FeedLabel {
        self.label
    }

    /// The dose on the label.
    pub fn dose(&self) -> Option<Dose> {
        self.dose
    }

    /// An element's share, per cent by weight.
    pub fn percent(&self, element: Element) -> f64 {
        percent(&self.label, element)
    }

    /// The elements that are in it.
    pub fn elements(&self) -> impl Iterator<Item = Element> {
        Element::ALL.into_iter().filter(|element| self.percent(*element) > 0.0)
    }

    /// The first of nitrogen, potassium, phosphorus, magnesium and sulphur that is in it: by which its strength
    /// is told.
    pub fn leading(&self) -> Option<Element> {
        use Element::{Magnesium, Nitrogen, Phosphorus, Potassium, Sulphur};
        [Nitrogen, Potassium, Phosphorus, Magnesium, Sulphur]
            .into_iter()
            .find(|element| self.percent(*element) > 0.0)
    }

    /// How strong the label's dose is in an element, mg/L (the same as ppm in water).
    ///
    /// The volume of the concentrate is not counted as water.
    ///
    /// # Errors
    /// If there is no dose, or one by volume without a density.
    pub fn strength(&self, element: Element) -> Result<f64, Unknown> {
        let dose = self.dose.ok_or(Unknown::NoDose)?;
        let grams = MassUnit::Gram.measure(self.mass_of(dose.amount)?);
        Ok(grams / VolumeUnit::Litre.measure(dose.per) * self.percent(element) * 10.0)
    }

    /// What goes into so much water by the label's dose.
    ///
    /// # Errors
    /// If there is no dose.
    pub fn for_water(&self, water: Volume) -> Result<Amount, Unknown> {
        let dose = self.dose.ok_or(Unknown::NoDose)?;
        Ok(times(
            dose.amount,
            VolumeUnit::Litre.measure(water) / VolumeUnit::Litre.measure(dose.per),
        ))
    }

    /// What goes into so much water for a wanted strength in mg/L of an element: by weight, or by volume
    /// where the label doses it so.
    ///
    /// # Errors
    /// If there is none of it in the feed, or the feed is dosed by volume and has no density.
    pub fn for_strength(
        &self,
        element: Element,
        mg_per_l: f64,
        water: Volume,
    ) -> Result<Amount, Unknown> {
        let percent = self.percent(element);
        if percent <= 0.0 {
            return Err(Unknown::NotInIt);
        }
        let grams = mg_per_l / (10.0 * percent) * VolumeUnit::Litre.measure(water);
        let mass = MassUnit::Gram.of(grams);
        match self.dose.map(|dose| dose.amount) {
            Some(Amount::Volume(_)) => {
                let density = self.density.ok_or(Unknown::NoDensity)?;
                Ok(Amount::Volume(mass / density))
            }
            _ => Ok(Amount::Mass(mass)),
        }
    }

    /// What goes into so much stock solution for an injector, by the label's dose: at 1:100 one litre of
    /// stock makes a hundred litres (so UMass Extension counts it).
    ///
    /// # Errors
    /// If there is no dose, or a liquid is too thin to be measured out for so much.
    pub fn for_stock_solution(&self, stock: Volume, ratio: u32) -> Result<Amount, Unknown> {
        match self.for_water(stock * f64::from(ratio))? {
            Amount::Volume(volume) if volume >= stock => Err(Unknown::TooThin),
            amount => Ok(amount),
        }
    }

    fn mass_of(&self, amount: Amount) -> Result<Mass, Unknown> {
        match amount {
            Amount::Mass(mass) => Ok(mass),
            Amount::Volume(volume) => Ok(volume * self.density.ok_or(Unknown::NoDensity)?),
        }
    }
}

/// So many times an amount.
pub fn times(amount: Amount, factor: f64) -> Amount {
    match amount {
        Amount::Mass(mass) => Amount::Mass(mass * factor),
        Amount::Volume(volume) => Amount::Volume(volume * factor),
    }
}

/// An element's share by a label, per cent by weight: oxides by their atomic weights.
fn percent(label: &FeedLabel, element: Element) -> f64 {
    use weight::{K, MG, O, P, S};
    match element {
        Element::Nitrogen => label.n,
        Element::Phosphorus => label.p2o5 * 2.0 * P / (2.0 * P + 5.0 * O),
        Element::Potassium => label.k2o * 2.0 * K / (2.0 * K + O),
        Element::Magnesium => label.mg + label.mgo * MG / (MG + O),
        Element::Sulphur => label.s + label.so3 * S / (S + 3.0 * O),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::origin::{Origin, Written};
    use crate::units;

    /// A sheet from the lines that a grower writes, read as far as these tests need.
    fn sheet(front: &str) -> MixSheet {
        let value =
            |key: &str| front.lines().find_map(|line| line.strip_prefix(key)?.strip_prefix(": "));
        let mut label = FeedLabel::default();
        for pair in value("label").unwrap().trim_matches(['{', '}']).split(", ") {
            let (key, number) = pair.split_once(": ").unwrap();
            let field = match key {
                "n" => &mut label.n,
                "p2o5" => &mut label.p2o5,
                "k2o" => &mut label.k2o,
                "mgo" => &mut label.mgo,
                "mg" => &mut label.mg,
                "so3" => &mut label.so3,
                "s" => &mut label.s,
                _ => panic!("{key}"),
            };
            *field = number.parse().unwrap();
        }
        let dose = value("dose").map(|dose| units::dose(dose).unwrap());
        let density = value("density").map(|density| units::density(density).unwrap());
        MixSheet {
            name: Written::new("a feed".to_owned(), Origin::Nowhere),
            stem: "a-feed".to_owned(),
            is: MixKind::Feed { label, density, dose },
            manure: None,
            prose: String::new(),
        }
    }

    fn strength(front: &str, element: Element) -> Result<f64, Unknown> {
        Feed::of(&sheet(front)).unwrap().strength(element)
    }

    fn ounces(front: &str, element: Element, ppm: f64) -> f64 {
        let sheet = sheet(front);
        let water = VolumeUnit::Gallon.of(100.0);
        match Feed::of(&sheet).unwrap().for_strength(element, ppm, water).unwrap() {
            Amount::Mass(mass) => MassUnit::Ounce.measure(mass),
            Amount::Volume(_) => panic!("dosed by weight"),
        }
    }

    fn assert_near(ours: f64, other: f64, tolerance: f64) {
        assert!((ours - other).abs() <= tolerance, "{ours} is not {other} within {tolerance}");
    }

    /// Factors as they are printed: Penn State Extension 0.44 and 0.83 (read); four digits from memory of
    /// fertiliser handbooks: P2O5 0.4364, K2O 0.8301, MgO 0.6030, SO3 0.4005.
    #[test]
    fn oxides_become_elements() {
        for (key, element, factor) in [
            ("p2o5", Element::Phosphorus, 0.4364),
            ("k2o", Element::Potassium, 0.8301),
            ("mgo", Element::Magnesium, 0.6030),
            ("so3", Element::Sulphur, 0.4005),
            ("n", Element::Nitrogen, 1.0),
            ("mg", Element::Magnesium, 1.0),
            ("s", Element::Sulphur, 1.0),
        ] {
            let sheet = sheet(&format!("label: {{{key}: 10}}"));
            assert_near(Feed::of(&sheet).unwrap().percent(element), 10.0 * factor, 6e-4);
        }
    }

    /// UMass Extension, 'Fertilizer Calculations for Greenhouse Crops' (read): for 200 ppm N in 100 US gal 13½ oz of
    /// 20-20-20, 18 oz of 15-15-15. Texas A&M, Ornamental IPM guide (read): 22 oz of calcium nitrate (15 % N) for
    /// 250 ppm. Its ammonium nitrate answers rest on 0.33 × 75 printed as 29.75 (it is 24.75); the right one, which
    /// another class page gives, is 8.09 oz for 200 ppm. Tolerance: half an ounce is the finest they print,
    /// and they round 75 for 74.892.
    #[test]
    fn extension_examples_for_a_wanted_strength() {
        for (label, ppm, oz, tolerance) in [
            ("label: {n: 20, p2o5: 20, k2o: 20}", 200.0, 13.5, 0.25),
            ("label: {n: 15, p2o5: 15, k2o: 15}", 200.0, 18.0, 0.25),
            ("label: {n: 15}", 250.0, 22.2, 0.25),
            ("label: {n: 33}", 200.0, 8.09, 0.02),
        ] {
            assert_near(ounces(label, Element::Nitrogen, ppm), oz, tolerance);
        }
    }

    /// The 'rule of 75': one ounce in 100 US gal gives 75 ppm times the decimal fraction (Texas A&M, read); exactly
    /// 28.349523125 g / 378.5411784 L = 74.892 mg/L (NIST Handbook 44).
    #[test]
    fn an_ounce_in_a_hundred_gallons() {
        let given = strength("label: {n: 100}\ndose: 1 oz per 100 gal", Element::Nitrogen).unwrap();
        assert_near(given, 74.892, 5e-4);
        assert_near(given, 75.0, 0.2);
    }

    /// A supplier's chart of a 15-5-15 (read): for 200 ppm N, 18 oz in a gallon of concentrate at 1:100, 36 oz at
    /// 1:200, 2.7 oz at 1:15. The dose itself is 18 oz per 100 gal.
    #[test]
    fn stock_for_an_injector() {
        let sheet = sheet("label: {n: 15, p2o5: 5, k2o: 15}\ndose: 18 oz per 100 gal");
        let feed = Feed::of(&sheet).unwrap();
        assert_near(feed.strength(Element::Nitrogen).unwrap(), 200.0, 3.0);
        for (ratio, oz) in [(100, 18.0), (200, 36.0), (15, 2.7)] {
            let gallon = VolumeUnit::Gallon.of(1.0);
            let Ok(Amount::Mass(mass)) = feed.for_stock_solution(gallon, ratio) else { panic!() };
            assert_near(MassUnit::Ounce.measure(mass), oz, 1e-9);
        }
    }

    /// Magnesium sulphate heptahydrate: labels of the US (DailyMed, read) give 495 mg magnesium in a level teaspoon of
    /// 5 g, three of them to the gallon make 392 mg/L; EU labels say 16 % MgO and 32 % SO3, US labels 9.8 % Mg and
    /// 12.9 % S (from memory); by the atomic weights 9.861 % and 13.008 %.
    #[test]
    fn magnesium_salt_by_three_labels() {
        for label in ["{mgo: 16.35, so3: 32.48}", "{mg: 9.861, s: 13.008}"] {
            let sheet = sheet(&format!("label: {label}\ndose: 15.06 g per gal"));
            let feed = Feed::of(&sheet).unwrap();
            assert_near(feed.percent(Element::Magnesium), 9.861, 2e-3);
            assert_near(feed.percent(Element::Sulphur), 13.008, 3e-3);
            assert_near(feed.strength(Element::Magnesium).unwrap(), 392.0, 0.5);
        }
        let eu = sheet("label: {mgo: 16, so3: 32}");
        assert_near(Feed::of(&eu).unwrap().percent(Element::Magnesium), 9.8, 0.2);
        assert_near(Feed::of(&eu).unwrap().percent(Element::Sulphur), 12.9, 0.2);
    }

    /// By hand: 25 ml of 1.2 kg/L are 30 g in 5 L, 6 g/L; 4 % N of it are 240 mg/L, 8 % K2O 398.5 mg/L K.
    #[test]
    fn a_liquid_needs_its_density() {
        let front = "label: {n: 4, p2o5: 3, k2o: 8}\ndose: 25 ml per 5 L";
        assert_eq!(strength(front, Element::Nitrogen), Err(Unknown::NoDensity));
        let front = format!("{front}\ndensity: 1.2 kg per L");
        assert_near(strength(&front, Element::Nitrogen).unwrap(), 240.0, 1e-9);
        assert_near(strength(&front, Element::Potassium).unwrap(), 398.5, 0.05);
        assert_eq!(strength("label: {n: 4}", Element::Nitrogen), Err(Unknown::NoDose));

        let sheet = sheet(&front);
        let feed = Feed::of(&sheet).unwrap();
        let ten = VolumeUnit::Litre.of(10.0);
        let Ok(Amount::Volume(volume)) = feed.for_strength(Element::Nitrogen, 120.0, ten) else {
            panic!("dosed by volume")
        };
        assert_near(VolumeUnit::Millilitre.measure(volume), 25.0, 1e-9);
        assert_eq!(feed.for_water(ten).unwrap(), units::amount("50 ml").unwrap());
        assert_eq!(feed.for_strength(Element::Sulphur, 10.0, ten), Err(Unknown::NotInIt));
        // 5 ml per litre are 500 ml in a litre of stock at 1:100; at 1:200 there is no room for water.
        assert_eq!(feed.for_stock_solution(ten, 100).unwrap(), units::amount("5 L").unwrap());
        assert_eq!(feed.for_stock_solution(ten, 200), Err(Unknown::TooThin));
    }
}
