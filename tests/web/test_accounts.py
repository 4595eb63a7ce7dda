"""x"""
def test_probe(register):
    c = register.client_as("keeper")
    assert c.get("/").status_code == 200
    a = register.aeroplane()
    register.step(a); register.supplier(); register.need(a); register.find()
