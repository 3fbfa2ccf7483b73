package playbook

const styleSheet = ``
