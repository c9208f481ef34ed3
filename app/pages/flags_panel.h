#pragma once

#include <optional>

#include "core/flags/flag.h"
#include "widgets/inputs/section.h"

class QActionGroup;
class QLabel;
class QListView;
class QMenu;
class QToolButton;

namespace beatwitness::widgets {
class FlagListModel;
}

namespace beatwitness::app {

class Document;

/// "Flags" of the test in front, as a list that can be filtered and sorted; a click or Enter goes there.
/// Stepping passes over what the filter hides. Says how far the review is.
class FlagsPanel : public widgets::Section {
    Q_OBJECT

public:
    explicit FlagsPanel(Document& document, QWidget* parent = nullptr);

    /// Selects the next (or previous) flag from the selected one and goes there; nothing without flags.
    void step(int by);
    [[nodiscard]] int flagCount() const;
    /// Selects this flag, where the list has it.
    void pick(const flags::Flag* flag);
    /// The flag at hand, or nullptr.
    [[nodiscard]] const flags::Flag* atHand() const;
    /// The list may be this many pixels high where it holds so much; a few rows are always in sight.
    void setRoom(int height);

    /// What a right click on the list, or the menu key, offers.
    void setMenu(QMenu* menu) { menu_ = menu; }
    /// Thresholds in force that are not the program's.
    void setChangedThresholds(int count);

signals:
    /// Row `index` of `count` became the flag at hand; nullptr: none.
    void flagAtHand(const beatwitness::flags::Flag* flag, int index, int count);
    /// The user wants to see it.
    void goTo(const beatwitness::flags::Flag& flag);

private:
    void refresh();
    void refilter();
    void visit(int row);
    void makeFilter();
    void addChoices(QMenu& menu, const QString& title, const QStringList& words, const char* name);
    [[nodiscard]] int choice(const char* name) const;
    /// The row of the flag that `before` is now, else the row `at`.
    [[nodiscard]] int rowOf(const flags::Flag& before, int at) const;
    void selectQuietly(int row);
    void summarise();
    [[nodiscard]] QString unmatchedText() const;
    void fitRows();

    Document& document_;
    int room_ = 0;
    widgets::FlagListModel* model_;
    QListView* list_;
    QLabel* none_;
    QLabel* summary_;
    QLabel* unmatched_;
    QToolButton* filter_;
    QMenu* menu_ = nullptr;
    int changedThresholds_ = 0;
    std::optional<flags::Flag> last_;  ///< the flag that was at hand
    int lastRow_ = -1;
};

}  // namespace beatwitness::app
