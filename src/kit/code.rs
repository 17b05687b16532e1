//! The list of what can be wrong with a kit file, each with a code that stays.

/// Defines the codes once: name, number, one line of explanation.
macro_rules! codes {
    ($($name:ident $number:literal $line:literal;)*) => {
        /// What is wrong. The numbers stay the same from release to release.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[non_exhaustive]
        pub enum FaultCode { $(#[doc = $line] $name),* }

        impl FaultCode {
            /// Every code, by number.
            pub const ALL: &[FaultCode] = &[$(FaultCode::$name),*];

            /// Such as `T0203`.
            pub fn number(self) -> &'static str {
                match self { $(FaultCode::$name => $number),* }
            }
            /// What the code means, in one line.
            pub fn line(self) -> &'static str {
                match self { $(FaultCode::$name => $line),* }
            }
        }
    };
}

codes! {
    NotFound "T0001" "a file is not there";
    IsFolder "T0002" "a folder where a file is wanted";
    Unreadable "T0003" "a file cannot be read";
    NothingToRead "T0004" "a folder without any YAML file";

    TooLarge "T0101" "a file is larger than 4 MiB";
    NotUtf8 "T0102" "a file is not UTF-8 text";
    Control "T0103" "a control character or an invisible mark in a file";
    Syntax "T0104" "the text is not YAML";
    TooDeep "T0105" "lists and mappings are nested too deeply";
    TooMany "T0106" "a file holds too many values";
    Documents "T0107" "a file holds several YAML documents";
    DuplicateKey "T0108" "a key is given twice in one mapping";
    Anchor "T0109" "anchors and aliases are not taken";
    Merge "T0110" "merge keys are not taken";
    Tag "T0111" "YAML tags are not taken";
    OddKey "T0112" "a key is not a plain word";
    NoValue "T0113" "a key or a list entry has no value";
    Empty "T0114" "a file is empty";
    Disagree "T0115" "two YAML readers differ on the text";

    UnknownField "T0201" "a field that the format does not have";
    MissingField "T0202" "a field that has to be there is missing";
    WrongKind "T0203" "a text, a list or a mapping where another of them is wanted";
    UnknownFile "T0204" "a file is no file of a kit";
    Together "T0205" "fields that do not go together";
    EmptyList "T0206" "a list or mapping is empty";

    BadQuantity "T0301" "a quantity cannot be read";
    BadCount "T0302" "a whole number is wrong or out of range";
    BadId "T0303" "an id is not formed as ids are";
    BadWord "T0304" "a word that is not one of those allowed here";
    BadName "T0305" "a name is empty, too long or not on one line";
    Shares "T0306" "pair shares do not make a whole";
    ZeroMass "T0307" "an item has no mass";

    DuplicateId "T0401" "an id or name is given twice";
    UnknownItem "T0402" "no item has this id";
    UnknownCarrier "T0403" "no carrier has this id";
    UnknownParty "T0404" "no party has this id";
    UnknownSupply "T0405" "nothing supplies this";
    UnknownTag "T0406" "no item has this tag";
    Dimension "T0407" "a supply is measured in two ways";
    Twice "T0408" "something is listed twice";

    ContentsCircle "T0501" "cases contain each other in a circle";
    RequiresCircle "T0502" "items require each other in a circle";
    TooMuch "T0503" "numbers that together are too large to work with";

    TwoParties "T0601" "a carrier is in two parties";
    NotHauled "T0602" "a vehicle that cannot be hauled goes on foot";
    NoVehicle "T0603" "a party by vehicle has no vehicle";
    Seats "T0604" "more people than seats";
    NoBodyMass "T0605" "body mass is needed and not given";
    BadStore "T0606" "stays-with names no party by vehicle";
    NobodyOnFoot "T0607" "a party on foot has no people";
    EmergencyLimit "T0608" "an emergency limit is below the limit";

    HandsFree "T0701" "more hands are to stay free than there are";
    WrongCarrier "T0702" "a rule names a carrier it cannot bind";
    GoalTwice "T0703" "a goal is given twice";
    TooFew "T0704" "a rule needs more items to mean anything";

    TooManyChoices "T0705" "too many supply demands hang on a choice";

    NoEffect "T0801" "something is given that has no effect";

    BadPlan "T0901" "a file is no plan that can be read back";
    ChangedSince "T0902" "a plan knows what the move does not know any more";

    NoSheet "T1001" "a workbook has no such sheet, or several to choose from";
    NotASheet "T1002" "a file is neither CSV nor a workbook that can be read";
    NoHeader "T1003" "a table has no header that is understood";
    BadMapping "T1004" "a column cannot become what it is said to become";
    OpenQuote "T1005" "a quote in a CSV file is not closed";
    Ambiguous "T1006" "a number can be read in two ways";
    WrongCell "T1007" "a cell holds a date, an error or the like where something else is wanted";
    Merged "T1008" "a merged cell does not say whom its number is for";
    NoMass "T1009" "a row has no mass or limit";

    UnknownCase "T1101" "no such case is held";
    BadSheet "T1102" "a sheet of counts lacks a column or has one twice";
    BadCell "T1103" "a cell of a sheet of counts cannot be read";
    NoHolder "T1104" "it is not said who has it";
    CannotPatch "T1105" "a file is laid out in a way that cannot be changed in place";
}
