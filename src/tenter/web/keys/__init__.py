"""The photographs' key carried elsewhere."""
