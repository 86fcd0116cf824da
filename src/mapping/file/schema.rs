//! The JSON schema of mapping files, from the parser's own lists of keys and the model's own words.

use serde_json::{Map, Value, json};

use super::keys::{COLUMN, CONSTANT, Key, Shape, TOP};
use crate::mapping::vocabulary;
use crate::outlet::{Field, Kind};

/// The JSON schema (draft 2020-12) of a mapping file, for editors and for checks before a run.
///
/// It says which keys there are and what may stand behind them. Words with two meanings, units of
/// another quantity and the like only the program itself finds.
pub fn schema() -> Value {
    let mut schema = table(TOP);
    let definitions = json!({
        "field": { "enum": Field::ALL.iter().map(|field| field.name()).collect::<Vec<_>>() },
        "scalar": { "type": ["string", "number", "boolean"] },
        "texts": { "anyOf": [
            { "type": "string" },
            { "type": "array", "items": { "type": "string" } },
        ] },
        "column": { "anyOf": [{ "$ref": "#/$defs/field" }, table(COLUMN)] },
        "facts": by_field(&|_| json!({ "$ref": "#/$defs/scalar" })),
    });
    let top = [
        ("$schema", json!("https://json-schema.org/draft/2020-12/schema")),
        ("title", json!("Mapping file of yokecheck")),
        ("required", json!(["name"])),
        ("$defs", definitions),
    ];
    if let Some(schema) = schema.as_object_mut() {
        schema.extend(top.map(|(key, value)| (key.to_owned(), value)));
    }
    schema
}

/// A table with these keys and no others.
fn table(keys: &[Key]) -> Value {
    let properties: Map<String, Value> = keys
        .iter()
        .map(|key| {
            let mut shape = shape(key.shape);
            if let Some(shape) = shape.as_object_mut() {
                shape.insert("description".to_owned(), json!(key.meaning));
            }
            (key.name.to_owned(), shape)
        })
        .collect();
    json!({ "type": "object", "properties": properties, "additionalProperties": false })
}

fn shape(shape: Shape) -> Value {
    match shape {
        Shape::Text => json!({ "type": "string" }),
        Shape::OneOf(words) => json!({ "enum": words }),
        Shape::Texts => json!({ "$ref": "#/$defs/texts" }),
        Shape::Whole(most) => json!({ "type": "integer", "minimum": 1, "maximum": most }),
        Shape::Truth => json!({ "type": "boolean" }),
        Shape::Field => json!({ "$ref": "#/$defs/field" }),
        Shape::Keys(keys) => table(keys),
        Shape::Columns => json!({
            "type": "object",
            "additionalProperties": { "anyOf": [
                { "$ref": "#/$defs/column" },
                { "type": "array", "items": { "$ref": "#/$defs/column" } },
            ] },
        }),
        Shape::Words => of_any(&json!({ "$ref": "#/$defs/scalar" })),
        Shape::FieldWords => by_field(&|field| of_any(&meaning(field))),
        Shape::Constants => {
            by_field(&|field| json!({ "anyOf": [meaning(field), table(CONSTANT)] }))
        }
        Shape::Buildings => of_any(&json!({ "$ref": "#/$defs/facts" })),
        Shape::Phrases => json!({ "anyOf": [
            { "type": "boolean" },
            of_any(&json!({ "$ref": "#/$defs/facts" })),
        ] }),
    }
}

fn of_any(value: &Value) -> Value {
    json!({ "type": "object", "additionalProperties": value })
}

fn by_field(value: &dyn Fn(Field) -> Value) -> Value {
    let properties: Map<String, Value> =
        Field::ALL.iter().map(|field| (field.name().to_owned(), value(*field))).collect();
    json!({ "type": "object", "properties": properties, "additionalProperties": false })
}

/// What a word may mean: a word of the field's vocabulary, offered to editors, or a synonym of one.
fn meaning(field: Field) -> Value {
    let words: Vec<&str> = match field.kind() {
        Kind::Word(words) => words.to_vec(),
        Kind::YesNo => vec!["yes", "no"],
        _ => return json!({ "$ref": "#/$defs/scalar" }),
    };
    let synonyms = vocabulary::synonyms(field).len();
    let offered = json!({ "enum": words, "description": format!("or one of the words of the trade for {synonyms} of these") });
    json!({ "anyOf": [offered, { "$ref": "#/$defs/scalar" }] })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mapping::file::MappingFile;

    /// A value that the parser must take for each key of the lists.
    fn example(key: &Key) -> String {
        match key.shape {
            Shape::Text if key.name == "resolution" => "\"0.5 mm\"".to_owned(),
            Shape::Text | Shape::Texts => "\"a *\"".to_owned(),
            Shape::OneOf(words) => format!("\"{}\"", words[0]),
            Shape::Whole(_) => "1".to_owned(),
            Shape::Truth => "true".to_owned(),
            Shape::Field => "\"box_set_back\"".to_owned(),
            Shape::Words => "{ \"flush\" = \"0\" }".to_owned(),
            Shape::Phrases => "{ \"HX #\" = { hospital_grade = \"yes\" } }".to_owned(),
            _ => String::new(),
        }
    }

    #[test]
    fn the_parser_takes_every_key_of_the_schema() {
        for key in COLUMN {
            let value = example(key);
            let field = if key.name == "field" { "" } else { "field = \"box_set_back\", " };
            let text =
                format!("name = \"x\"\n[columns]\n\"H\" = {{ {field}{} = {value} }}", key.name);
            assert!(MappingFile::parse("x", &text).is_ok(), "{text}");
        }
        for key in TOP {
            let Shape::Keys(keys) = key.shape else { continue };
            for inner in keys {
                let headers =
                    if inner.name == "at_least" { "headers = [\"a\", \"b\"]\n" } else { "" };
                let value = example(inner);
                let text =
                    format!("name = \"x\"\n[{}]\n{headers}{} = {value}", key.name, inner.name);
                assert!(MappingFile::parse("x", &text).is_ok(), "{text}");
            }
        }
        for key in CONSTANT {
            let text = format!(
                "name = \"x\"\n[constants]\nfloor = {{ from = \"sheet\"{} }}",
                if key.name == "from" { "" } else { ", pattern = \"Level *\"" }
            );
            assert!(MappingFile::parse("x", &text).is_ok(), "{text}");
        }
    }

    #[test]
    fn the_schema_names_every_field_and_every_key() {
        let schema = schema();
        let keys = &schema["properties"];
        assert!(TOP.iter().all(|key| keys[key.name]["description"].is_string()));
        let fields = schema["$defs"]["field"]["enum"].as_array().map(Vec::len);
        assert_eq!(fields, Some(Field::ALL.len()));
        assert_eq!(schema["additionalProperties"], json!(false));
        let barrier = &keys["words"]["properties"]["barrier"]["additionalProperties"];
        assert_eq!(barrier["anyOf"][0]["enum"], json!(["none", "unsecured", "secured"]));
    }
}
