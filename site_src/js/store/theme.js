// The screen theme that was chosen. By itself, since it is wanted before the first frame, and the database is not.

const THEME = `fillmark:${new URL(document.documentElement.dataset.base ?? './', location.href).pathname}:theme`
const THEMES = ['card', 'white', 'dark']

export const theme = {
  /** @returns {string} the stored theme, or '' for the phone's own */
  read() {
    try {
      const stored = localStorage.getItem(THEME) ?? ''
      return THEMES.includes(stored) ? stored : ''
    } catch {
      return '' // storage refused (private mode, site settings): the phone's own theme
    }
  },
  /**
   * @param {string} value a theme, or '' for the phone's own
   * @returns {boolean} whether it is kept
   */
  write(value) {
    try {
      if (value) localStorage.setItem(THEME, value)
      else localStorage.removeItem(THEME)
      return true
    } catch {
      return false
    }
  },
}
