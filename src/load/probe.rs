#[cfg(test)]
mod probe {
    use crate::diag::*;
    use std::sync::Arc;
    fn say(text: &str) {
        let mut src = Sources::default();
        src.put("readings.toml", text);
        let mut out = Diags::new();
        let file: Arc<str> = "readings.toml".into();
        let tree = super::super::tree::read(&file, text, &mut out);
        println!("==== {text}\n{}", out.plain(&src).join("\n"));
        if out.faults() < 3 { println!("{}", out.render(&src, false)); }
        if let Some(t) = tree { if text.len() < 60 { println!("{:?} {}", t.root.value, t.whole); } }
    }
    #[test]
    fn probe() {
        for t in [
            "a = 1\n[C]\nC1.shaft = [1.3731, 1.3730]\n[[again]]\nx = 1\n[[again]]\n",
            "C1.shaft = [.3731]\nb = 1.3731in\nc = [1.37 30]\nd=[1.3731 1.3730]\n",
            "c = “propeller end”\nname = propeller end # x\nu = 1,3731\n",
            "x = [ , 1.3730]\ny=[1.3731, , 1]\nz=1.0\nz=2.0\n",
            "[C]\na.b = 1\na.b = 2\n[C]\nd=1\n[D]\nq={a=1, a=2}\n[D]\n",
            "[C]\nC1.shaft = [1.3731, 1.3730\nC1.bore = [1.3752, 1.3753]\nC3.bore = [1.3755, 1.4007]\n\n[[again]]\nrow = \"C3\"\nread = .12\n",
            "[C\nC1.shaft = [1]\n[D]\nx = -\ny = 2026-3-2\nz = 2026-02-30\nw=+1.3\nv=01.3731\n",
            "work order = \"x\"\na: 3\nb [1,2]\nc\nd =\n}\n// x\n",
            "a = \"abc\nb = \"C:\\temp\"\n[parts.cam shaft]\n[x] y = 1\n",
            "a = 1.3731\"\nb = [1.3731\", 1.3730\"]\nfit = 0.0010L\nc = (1, 2)\ne = 1.37 in\n", 
            "\u{feff}a = 1\r\nb = .5\r\n",
            "a = \"x\u{7}y\"\nb = \"x\\u0007y\"\nµ = 1\nc = \"5 µm\" .5",
            "C1 = {a = 1}\nC1.na = {why = 1}\n",
        ] { say(t); }
    }
}
