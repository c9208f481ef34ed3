#pragma once

#include <QDialog>
#include <vector>

#include "app/document/propose_roles.h"

class QComboBox;
class QGridLayout;
class QLabel;
class QPushButton;

namespace beatwitness::app {

/// Which of the files is the reference, which are tests: proposed, corrected by the user, all by keyboard
/// too.
///
/// There is one reference at most: choosing another one makes the former a test. A plan can be had while
/// there is a reference and at least one test.
class RoleDialog : public QDialog {
    Q_OBJECT

public:
    RoleDialog(std::vector<Candidate> candidates, const std::vector<Role>& roles, QWidget* parent = nullptr);

    /// Requires: accepted. Each test under automatic alignment.
    [[nodiscard]] SessionPlan plan() const;
    [[nodiscard]] Role role(std::size_t candidate) const;
    /// As if chosen in the row's list.
    void setRole(std::size_t candidate, Role role);

private:
    void addRow(std::size_t index, QGridLayout& grid);
    void choose(std::size_t candidate, Role role);
    void judge();
    [[nodiscard]] QString complaint() const;
    [[nodiscard]] QString notice() const;

    std::vector<Candidate> candidates_;
    std::vector<QComboBox*> boxes_;
    QLabel* judgement_;
    QPushButton* compare_ = nullptr;
};

}  // namespace beatwitness::app
