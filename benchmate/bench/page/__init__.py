"""The page in the local network, fed by the service."""
