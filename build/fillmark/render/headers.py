"""What a static host is told beside the pages: a file of headers for hosts that read one, and a mark for those that
else hide files.

Neither is a page's matter: phones do not keep them, and a host that reads neither serves a whole site.
"""

from __future__ import annotations

# The pages have it as <meta> too, for hosts that send no headers.
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; connect-src 'self'; "
    "manifest-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'; "
    "require-trusted-types-for 'script'; trusted-types fillmark-worker"
)
# What the pages do without. What they use is theirs by default: the screen that stays on, the share sheet, a copy.
UNUSED = ("accelerometer", "camera", "display-capture", "geolocation", "gyroscope", "hid", "magnetometer", "microphone",
          "midi", "payment", "publickey-credentials-get", "serial", "usb", "xr-spatial-tracking")

HEADERS = {
    "Content-Security-Policy": f"{POLICY}; frame-ancestors 'none'",  # a <meta> may not say that last one
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Permissions-Policy": ", ".join(f"{name}=()" for name in UNUSED),
    # No file's name changes with its bytes, so each is asked for again; what has not changed is not sent again.
    "Cache-Control": "no-cache",
}


def files() -> dict[str, bytes]:
    """Return `_headers`, for every path of the site, and the empty `.nojekyll`."""
    lines = ["/*", *(f"  {name}: {value}" for name, value in HEADERS.items()), ""]
    return {"_headers": "\n".join(lines).encode(), ".nojekyll": b""}
